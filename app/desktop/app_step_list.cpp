// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/desk/step_list_edits.hpp"

#include <filesystem>

namespace afterscope {

// Keeps a list with the case: as a file in its folder, under the id that the case names.
void App::KeepStepList(const StepList& list) {
  if (!desk_ || !MakeScene().Editable())
    return Say("A step list is kept with a case; open a recording first.", true);
  steps_ = list;
  desk_->Push([list](CaseSession& session) -> Result<EditGroup> {
    AFTERSCOPE_TRY(SaveStepList(list, session.folder() + "/" + list.id + ".json"));
    EditGroup group{"Step list", {}};
    if (session.record().step_list != list.id) group.edits.emplace_back(SetCaseField{"step_list", list.id});
    return group;
  });
}

std::string App::NewStepOfList(const std::string& name) {
  StepList list = steps_;
  const std::string key = AddStep(list, name);
  if (!key.empty() && list.steps.size() != steps_.steps.size()) KeepStepList(list);
  return key;
}

void App::TakeStepList(const std::string& path) {
  auto list = LoadStepListFile(path);
  if (!list) return Say(list.error().message, true);
  KeepStepList(*list);
  Say("The steps are now those of " + list->name, false);
}

void App::WriteStepList(const std::string& path) {
  const Status written = SaveStepList(steps_, path);
  Say(written.ok() ? "The step list is in " + path : written.error().message, !written.ok());
}

}  // namespace afterscope
