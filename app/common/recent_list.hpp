// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// The file in which the window keeps how it was left (app/desktop/desk/view_settings.hpp): window.json in
// UserConfigFolder(); empty where there is none.
std::string WindowSettingsPath();

// The paths that the window keeps in its settings, each once: those that were opened lately, the newest
// first, the folders in which a review was chosen, the one that is reviewed blinded. None where there are no
// settings or they can't be read.
std::vector<std::string> RecentPaths(const std::string& settings_path, FileSystem& files = RealFileSystem());

// Takes out those for which `which` is true, with what is kept beside them; the rest of the settings stays as
// it is.
Status ForgetRecent(const std::string& settings_path, const std::function<bool(const std::string&)>& which,
                    FileSystem& files = RealFileSystem());

}  // namespace afterscope
