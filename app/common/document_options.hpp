// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/document/sheet_document.hpp"

#include <string>

namespace afterscope {

// For "a4" or "letter", made now.
SheetFileOptions DocumentOptions(const std::string& paper);

}  // namespace afterscope
