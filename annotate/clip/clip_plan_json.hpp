// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "annotate/store/file_system.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Clip plans lie in CASEDIR/clips/NAME.json (FORMAT.md). A name is an id.
Result<ClipPlan> LoadClipPlan(const std::string& case_folder, const std::string& name,
                              FileSystem& files = RealFileSystem());
// Replaces the file, whole or not at all.
Status SaveClipPlan(const std::string& case_folder, const ClipPlan& plan,
                    FileSystem& files = RealFileSystem());
// Takes the file away, if it is there.
Status RemoveClipPlan(const std::string& case_folder, const std::string& name,
                      FileSystem& files = RealFileSystem());
// Names of the plans of a case, sorted; none if there is no folder.
std::vector<std::string> ClipPlanNames(const std::string& case_folder, FileSystem& files = RealFileSystem());
// What is wrong with the files of the plans of a case, a sentence each.
std::vector<std::string> CheckClipPlans(const std::string& case_folder, FileSystem& files = RealFileSystem());

}  // namespace afterscope
