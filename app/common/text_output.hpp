// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Writes a command's result to a file, whole or not at all; "-" is standard output.
Status WriteOutput(const std::string& path, const std::string& text);

}  // namespace afterscope
