// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// The folder of step lists, report texts, keys ...: $AFTERSCOPE_ASSETS, else the source tree's, else the installed one.
std::string AssetsFolder();

}  // namespace afterscope
