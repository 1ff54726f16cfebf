// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/step_list.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A step list from a file: "id", "name", "steps" (key, name, shortcut, add_on), "checks" (key, name, step);
// with "extends" the steps of the list of that id in the same folder come first. The add-ons (add_ons.json of
// the same folder) follow, as far as their keys are not there yet. Refuses a key or a shortcut given twice,
// and shortcuts that the program uses itself.
Result<StepList> LoadStepListFile(const std::string& path, FileSystem& files = RealFileSystem());

// Whether the file is a list with a step or a check of its own: any other JSON object would be read as an
// empty one.
bool IsStepListFile(const std::string& path, FileSystem& files = RealFileSystem());

// Writes a list as LoadStepListFile reads it, whole (nothing is extended). Refuses what would be refused
// there.
Status SaveStepList(const StepList& list, const std::string& path, FileSystem& files = RealFileSystem());

// Whether a step may have that key: one sign that the program does not use itself while tagging.
bool IsFreeForSteps(const std::string& shortcut);

// The list that a case names: `step_list`.json in the case folder, else in ASSETS/step_lists. A case that
// names none gets phacoemulsification.
Result<StepList> LoadStepList(const CaseRecord& record, const std::string& case_folder,
                              const std::string& assets_folder, FileSystem& files = RealFileSystem());

// Whether the list that the case names can be read where a file of it lies in the case folder.
Status CheckOwnStepList(const CaseRecord& record, const std::string& case_folder, FileSystem& files);

// The ids of the lists in ASSETS/step_lists, add-ons left out.
std::vector<std::string> StepListIds(const std::string& assets_folder, FileSystem& files = RealFileSystem());

// A word from a data file: its key, what is shown, and (complications) what it means. Of a number, between
// what it lies.
struct NamedKey {
  std::string key;
  std::string name;
  std::string definition;
  std::optional<double> least = {};
  std::optional<double> most = {};
};

// The array `member` of a file in assets, such as "complications" of complications.json.
Result<std::vector<NamedKey>> LoadNamedKeys(const std::string& path, const std::string& member,
                                            FileSystem& files = RealFileSystem());

}  // namespace afterscope
