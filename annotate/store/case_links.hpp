// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Refuses a case folder in which something that the program would write to is a link: what it points to lies
// outside the case and must not be touched. The folder itself may be a link.
Status RefuseLinks(const std::string& case_folder);

}  // namespace afterscope
