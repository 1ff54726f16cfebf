// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// The folder of step lists, report texts, keys ...: $AFTERSCOPE_ASSETS; else the one installed beside the
// program (PROGRAM/../share/afterscope), wherever that was moved to; else the source tree's.
std::string AssetsFolder();
// The folder of the shaders, found likewise ($AFTERSCOPE_SHADERS).
std::string ShadersFolder();

}  // namespace afterscope
