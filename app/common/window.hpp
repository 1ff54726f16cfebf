// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

// Opens the window on a case folder, a folder of cases, or recordings (or nothing) and serves it until it is
// closed. Returns the program's exit status; where there is no display, one sentence on standard error. One
// of two is linked: app/desktop/open_window.cpp, or app/no_window.cpp in a build without the window.
int OpenWindow(const std::vector<std::string>& paths);

}  // namespace afterscope
