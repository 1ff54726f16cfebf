// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/step_list_keeper.hpp"

#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/desk/step_list_edits.hpp"

#include <utility>

namespace afterscope {

StepListKeeper::StepListKeeper(JobRunner& jobs, SayCall say) : jobs_(jobs), say_(std::move(say)) {
  if (auto list = LoadStepList({}, {}, AssetsFolder()))
    list_ = std::move(list).value();
  else
    say_(list.error().message, true);
}

void StepListKeeper::Follow(const CaseView& view) {
  if (!std::exchange(forgotten_, false) && view.record.step_list == id_ && view.folder == folder_) return;
  id_ = view.record.step_list;
  folder_ = view.folder;
  jobs_.Renew();
  jobs_.Start(
      "",
      [record = view.record, folder = view.folder](const Progress&, const StopQuery&) {
        return LoadStepList(record, folder, AssetsFolder());
      },
      [this](Result<StepList> list) {
        if (list)
          list_ = std::move(list).value();
        else
          say_(list.error().message, true);
      });
}

void StepListKeeper::Forget() {
  jobs_.Renew();
  forgotten_ = true;
}

void StepListKeeper::Put(const StepList& list, CaseDesk& desk) {
  list_ = list;
  desk.Push([list](CaseSession& session) -> Result<EditGroup> {
    AFTERSCOPE_TRY(SaveStepList(list, session.folder() + "/" + list.id + ".json"));
    EditGroup group{"Step list", {}};
    if (session.record().step_list != list.id) group.edits.emplace_back(SetCaseField{"step_list", list.id});
    return group;
  });
}

void StepListKeeper::Keep(const StepList& list, const ActionScene& on) {
  if (!on.scene.Editable()) return say_("A step list is kept with a case; open a recording first.", true);
  Put(list, on.desk);
}

std::string StepListKeeper::NewStep(const std::string& name, CaseDesk& desk) {
  StepList list = list_;
  std::string key = AddStep(list, name);
  if (!key.empty() && list.steps.size() != list_.steps.size()) Put(list, desk);
  return key;
}

void StepListKeeper::TakeFrom(const std::string& path, const ActionScene& on) {
  jobs_.Start(
      "", [path](const Progress&, const StopQuery&) { return LoadStepListFile(path); },
      [this, &desk = on.desk, editable = on.scene.Editable()](const Result<StepList>& list) {
        if (!list) return say_(list.error().message, true);
        if (!editable) return say_("A step list is kept with a case; open a recording first.", true);
        Put(*list, desk);
        say_("The steps are now those of " + list->name, false);
      });
}

void StepListKeeper::WriteTo(const std::string& path) {
  jobs_.Start(
      "", [path, list = list_](const Progress&, const StopQuery&) { return SaveStepList(list, path); },
      [this, path](const Status& written) {
        say_(written.ok() ? "The step list is in " + path : written.error().message, !written.ok());
      });
}

}  // namespace afterscope
