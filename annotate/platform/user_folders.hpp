// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// The folders in which this program keeps what belongs to the user and to no case, absolute and with '/'
// between parts; empty where the system names none. They need not exist. XDG Base Directory Specification
// 0.8: $XDG_..._HOME/afterscope, where that is unset or relative the folder that the specification names
// under $HOME.
std::string UserCacheFolder();   // may be emptied at any time
std::string UserConfigFolder();  // how the window was left
std::string UserDataFolder();    // the index of cases

}  // namespace afterscope
