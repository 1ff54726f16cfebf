// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// What a shell command prints on standard output; its exit status in `status` if given, -1 where a signal
// ended it.
std::string OutputOf(const std::string& command, int* status = nullptr);

}  // namespace afterscope
