// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/later_fields.hpp"

#include "annotate/jobs/series/series_follow_ups.hpp"
#include "annotate/store/case_session.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/look/widgets.hpp"

#include <string>

namespace afterscope {
namespace {

std::string KeptIn(const CaseRecord& record, const std::string& field) {
  const auto found = record.extra.find(field);
  return found == record.extra.end() ? std::string() : found->second;
}

void DrawKnown(TypedTexts& typed, const NamedKey& known, const std::string& field, const Scene& scene,
               EditQueue& edits) {
  const std::string kept = KeptIn(scene.view.record, field);
  const TextField line{field, known.name, known.definition == "date" ? "YYYY-MM-DD" : "", true};
  if (const auto text = DrawTextField(scene.look, typed, line, kept))
    edits.Push([known, field, text = *text](CaseSession&) { return KnownFieldEdit(known, field, text); });
}

void DrawFollowUp(const NamedKey& follow_up, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  const std::string field = "follow_up." + follow_up.key;
  const std::string window = KeptIn(scene.view.record, field);
  if (WordButton(look, follow_up.name, !window.empty()))
    edits.Push([follow_up, field, planned = !window.empty()](CaseSession& session) -> Result<EditGroup> {
      if (!planned) return PlanFollowUp(follow_up, session.record().date);
      return EditGroup{"Follow-up taken back", {SetCaseField{"extra." + field, ""}}};
    });
  const std::string done = KeptIn(scene.view.record, "follow_up_done." + follow_up.key);
  if (!window.empty()) SayQuietly(look, done.empty() ? window : window + ", done " + done);
}

}  // namespace

LaterWords LoadLaterWords() {
  LaterWords words;
  if (auto known = LoadKnownColumns(AssetsFolder())) words.known = std::move(*known);
  if (auto keys = LoadNamedKeys(AssetsFolder() + "/outcomes.json", "follow_ups"))
    words.follow_ups = std::move(*keys);
  return words;
}

void DrawLaterFields(TypedTexts& typed, const LaterWords& words, const Scene& scene, EditQueue& edits) {
  Heading(scene.look, "What became of the eye");
  for (const NamedKey& outcome : words.known.outcomes)
    DrawKnown(typed, outcome, "outcome." + outcome.key, scene, edits);
  Heading(scene.look, "To be looked at again");
  for (const NamedKey& follow_up : words.follow_ups) DrawFollowUp(follow_up, scene, edits);
  Heading(scene.look, "For series");
  for (const NamedKey& field : words.known.fields) DrawKnown(typed, field, field.key, scene, edits);
}

}  // namespace afterscope
