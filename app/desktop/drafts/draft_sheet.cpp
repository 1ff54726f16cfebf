// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/drafts/draft_sheet.hpp"

#include "annotate/case/drafting.hpp"
#include "annotate/jobs/series/series_follow_ups.hpp"
#include "annotate/narration/narration_edits.hpp"
#include "app/common/narration_file.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <utility>

namespace afterscope {
namespace {

// One edit of the case: its captions and drafts. Refused where nothing lies within the case.
CaseRequest ImportRequest(std::shared_ptr<const NarrationFile> narration, StepList steps,
                          const std::string& name) {
  return [narration = std::move(narration), steps = std::move(steps),
          name](CaseSession& session) -> Result<EditGroup> {
    const NarrationInput input{narration->text, &narration->rules, &steps, narration->usual, 0};
    const CaseClock clock(session.record().recordings);
    int left_out = 0;
    EditGroup group = NarrationEdits(
        input, session.review(), clock,
        {[&] { return session.NewCaptionId(); }, [&] { return session.NewDraftId(); }}, left_out);
    if (left_out == static_cast<int>(input.text.cues.size()))
      return Error{ErrorCode::kNotComputable,
                   fmt::format("None of '{}' lies within the case, which lasts {}.", name,
                               LengthText(clock.TotalSeconds()))};
    return group;
  };
}

// A narration's times lie anywhere; a draft that is accepted begins and ends on frames.
Review OnFrames(Review review, const DraftId& id, const CaseClock& clock, const Tables& tables) {
  for (Draft& draft : review.drafts) {
    if (draft.id != id) continue;
    draft.start = FrameShownAt(tables, draft.start);
    if (draft.end && *draft.end < clock.end()) draft.end = FrameShownAt(tables, *draft.end);
    if (draft.end && !(draft.start < *draft.end)) draft.end.reset();
  }
  return review;
}

std::string Spaced(std::string key) {
  std::replace(key.begin(), key.end(), '_', ' ');
  return key;
}

}  // namespace

void DraftSheet::TakeNarration(const std::string& path, const StepList& steps) {
  const std::string name = std::filesystem::path(path).filename().string();
  calls_.jobs.Start(
      "Reading the narration", [path](const Progress&, const StopQuery&) { return ReadNarrationFile(path); },
      [this, steps, name](Result<NarrationFile> read) {
        if (!read.ok()) return calls_.say(read.error().message, true);
        if (!read->text.cautions.empty())
          calls_.say(fmt::format("{}: {}{}", name, read->text.cautions.front(),
                                 read->text.cautions.size() > 1
                                     ? fmt::format(" (and {} more)", read->text.cautions.size() - 1)
                                     : ""),
                     false);
        calls_.push(ImportRequest(std::make_shared<const NarrationFile>(std::move(*read)), steps, name));
        calls_.show(SheetKind::kDrafts);
      });
}

void DraftSheet::GoTo(const Scene& scene) {
  scroll_ = true;
  if (const Draft* draft = DraftOf(scene.view.review, walk_.at))
    calls_.jump(FrameShownAt(scene.tables, draft->start));
}

void DraftSheet::Follow(const Scene& scene, bool shown) {
  const bool opened = shown && !std::exchange(shown_, shown);
  if ((FollowDrafts(walk_, scene.view.review) || opened) && shown) GoTo(scene);
}

void DraftSheet::Accept(const Scene& scene, const Draft& draft) {
  calls_.push([id = draft.id, clock = scene.clock, tables = scene.tables](CaseSession& session) {
    return AcceptDraft(OnFrames(session.review(), id, clock, tables), id, clock,
                       {[&] { return session.NewVisitId(); }, [&] { return session.NewMomentId(); }});
  });
  // A change of its own: it is one of the case. Without what makes it possible, the sentence says so.
  if (draft.kind == DraftKind::kFollowUp)
    calls_.push([id = draft.id](CaseSession& session) -> Result<EditGroup> {
      const Draft* accepted = DraftOf(session.review(), id);
      if (accepted == nullptr || accepted->state != DraftState::kAccepted) return EditGroup{};
      return PlanSpokenFollowUp(session.record(), *accepted);
    });
}

bool DraftSheet::Do(const std::string& action, const Scene& scene) {
  const Draft* draft = DraftOf(scene.view.review, walk_.at);
  if (draft == nullptr) return false;
  const FrameRef here = scene.player.playhead();
  if (action == "remark") {
    Accept(scene, *draft);
  } else if (action == "remove") {
    calls_.push([id = draft->id](CaseSession& session) { return RefuseDraft(session.review(), id); });
  } else if (action == "end step") {
    const auto [start, end] = MovedTo(*draft, here, scene.clock);
    calls_.push([id = draft->id, start = start, end = end](CaseSession& session) {
      return MoveDraft(session.review(), id, start, end);
    });
  } else if (action == "step ends here" && draft->kind == DraftKind::kStep && draft->start < here) {
    calls_.push([id = draft->id, start = draft->start, here](CaseSession& session) {
      return MoveDraft(session.review(), id, start, here);
    });
  } else if (action == "next moment" || action == "previous moment") {
    MoveAlong(walk_, action == "next moment" ? 1 : -1);
    GoTo(scene);
  } else {
    return false;
  }
  return true;
}

std::vector<KeyHint> DraftSheet::Hints(const Scene& scene) const {
  if (!walk_.at) return {};
  return {{scene.keys.KeyFor("remark"), "accept"},
          {scene.keys.KeyFor("remove"), "refuse"},
          {scene.keys.KeyFor("end step"), "move here"},
          {scene.keys.KeyFor("next moment"), "next draft"},
          {scene.keys.KeyFor("play"), scene.player.playing() ? "pause" : "play"},
          {scene.keys.KeyFor("undo"), "undo"},
          {scene.keys.KeyFor("leave"), "back to the steps"}};
}

void DraftSheet::DrawCard(const Scene& scene, const Draft& draft) {
  const Look& look = scene.look;
  Say(look, DraftTitle(draft, scene.steps), look.colours.text, look.fonts.strong, true);
  Say(look, DraftTimes(draft, scene.clock) + "   ·   " + SureWords(draft.confidence), look.colours.quiet,
      look.fonts.small, true);
  Say(look, "“" + draft.words + "”", look.colours.text, look.fonts.body, true);
  for (const auto& [field, value] : draft.fields)
    if (!value.empty()) SayQuietly(look, Spaced(field) + ": " + scene.steps.NameOf(value));
  if (!scene.Editable()) return;
  ImGui::Dummy({0, look.Px(3)});
  ButtonRow row(look);
  const auto button = [&](const char* words, const char* action) {
    if (row.Add(words, scene.keys.KeyFor(action))) Do(action, scene);
  };
  button("Accept", "remark");
  button("Refuse", "remove");
  button("Move here", "end step");
  if (draft.kind == DraftKind::kStep) button("Ends here", "step ends here");
}

// It scrolls by itself: the draft before the eyes stays above it.
void DraftSheet::DrawList(const Scene& scene) {
  const Look& look = scene.look;
  ImGui::BeginChild("drafts", {0, std::max(look.Px(80), ImGui::GetContentRegionAvail().y - look.Px(8))});
  for (const Draft& draft : scene.view.review.drafts) {
    if (draft.state != DraftState::kOpen) continue;
    const bool chosen = walk_.at == draft.id;
    const Row row = BeginRow(look, draft.id.value.c_str(), look.Px(24), chosen);
    if (chosen && scroll_) ImGui::SetScrollHereY(0.4F);
    if (row.pressed) {
      walk_.at = draft.id;
      GoTo(scene);
      scroll_ = false;
    }
    if (row.hovered) scene.wishes.under = draft.words;
    const std::string sure = fmt::format("{:.0f} %", draft.confidence * 100);
    const float sure_width = look.script->Size(look.fonts.small, sure).x;
    RowText(look, row, row.from.x + look.Px(6), ClockText(scene.Seconds(draft.start), 1), look.colours.quiet,
            look.fonts.small);
    const float name_at = row.from.x + look.Px(66);
    RowText(look, row, name_at, DraftTitle(draft, scene.steps), look.colours.text, look.fonts.body,
            row.to.x - name_at - sure_width - look.Px(14));
    RowTextRight(look, row, row.to.x - look.Px(5), sure, look.colours.quiet, look.fonts.small);
  }
  scroll_ = false;
  ImGui::EndChild();
}

void DraftSheet::Draw(const Scene& scene) {
  const Look& look = scene.look;
  const Review& review = scene.view.review;
  const Draft* draft = DraftOf(review, walk_.at);
  if (draft == nullptr) {
    if (KeyedButton(look, "Take in a narration …", scene.keys.KeyFor("open")))
      scene.wishes.actions.emplace_back("open");
    SayQuietly(look,
               "Drop a file with timed words on the window, or choose it among the files: WebVTT, SubRip, or "
               "lines that begin with a time. What it suggests is shown here; nothing enters the record "
               "before you accept it.");
  } else {
    Heading(look, fmt::format("{} drafts to go through", walk_.open.size()));
    DrawCard(scene, *draft);
    ThinRule(look);
  }
  const int accepted = CountDrafts(review, DraftState::kAccepted);
  const int refused = CountDrafts(review, DraftState::kRefused);
  if (accepted + refused > 0)
    SayQuietly(look, fmt::format("{} accepted, {} refused; {} takes the last answer back.", accepted, refused,
                                 scene.keys.KeyFor("undo")));
  if (draft != nullptr) DrawList(scene);
}

}  // namespace afterscope
