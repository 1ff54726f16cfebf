// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/review_sheet.hpp"

#include "annotate/case/signing.hpp"
#include "annotate/case/words.hpp"
#include "app/desktop/fairly/review_lines.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

void Keyed(const Scene& scene, const char* words, const char* action) {
  if (KeyedButton(scene.look, words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
}

void DrawQuestion(const Scene& scene) {
  Say(scene.look, "Did you recognise whose case it is?", scene.look.colours.text, scene.look.fonts.body,
      true);
  Keyed(scene, "Answer", "sign review");
  SayQuietly(scene.look, "The answer is noted beside the review; then the case is shown with its names.");
}

void DrawAnswers(const Scene& scene) {
  const SignedReview* kept = FindSigned(scene.view.record, scene.view.review.id);
  if (kept == nullptr) return;
  if (kept->recognised != Recognition::kNotAsked)
    SayQuietly(scene.look, fmt::format("Operator recognised: {}.", WordOf(kept->recognised)));
  for (const ReviewAnswer& answer : kept->answers) {
    const std::string who = answer.by.empty() ? "Answer" : answer.by;
    SayQuietly(scene.look, fmt::format("{}, {}:", who, answer.date));
    Say(scene.look, answer.text, scene.look.colours.text, scene.look.fonts.body, true);
  }
}

void DrawOpenReview(const Scene& scene) {
  const Look& look = scene.look;
  const CaseView& view = scene.view;
  Heading(look, "This review");
  Say(look, OpenReviewWords(view.review), look.colours.text, look.fonts.body, true);
  if (view.folder.empty()) return SayQuietly(look, "It begins with the first thing you note.");
  if (view.asks_recognised) return DrawQuestion(scene);
  if (view.read_only) return SayQuietly(look, "This case is open read-only.");
  if (view.review.is_signed) {
    SayQuietly(look, "Sealed: it stays as it is.");
    DrawAnswers(scene);
    if (!view.review.moments.empty()) Keyed(scene, "Debrief", "debrief");
    Keyed(scene, "Answer it", "answer review");
    Keyed(scene, "Begin a new version", "new version");
    return;
  }
  if (view.hidden) SayQuietly(look, "Who operated, when, names and sound are hidden until it is signed.");
  Keyed(scene, "Sign it", "sign review");
  if (!view.hidden) return;
  Keyed(scene, "Lift the blinding", "lift blinding");
}

void DrawReview(FairDesk& desk, const Scene& scene, const ReviewLine& line) {
  const Look& look = scene.look;
  const bool here = line.door == ReviewDoor::kThis;
  const Row row = BeginRow(look, line.id.value.c_str(), look.Px(40), here);
  const bool hidden = line.door == ReviewDoor::kHidden;
  if (row.pressed) desk.Enter(line.id);
  if (row.hovered && !here)
    scene.wishes.under =
        hidden ? "Hidden from the open review until both are signed; its reviewer's code opens it"
               : "Work in this review";
  const Row upper{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
  const Row lower{false, false, {row.from.x, row.from.y + look.Px(18)}, row.to};
  const std::string state = here ? "open" : hidden ? "hidden" : "";
  const float state_width = look.script->Size(look.fonts.small, state).x;
  RowText(look, upper, row.from.x + look.Px(6), line.who, look.colours.text,
          here ? look.fonts.strong : look.fonts.body, row.to.x - row.from.x - state_width - look.Px(24));
  RowTextRight(look, upper, row.to.x - look.Px(6), state, look.colours.quiet, look.fonts.small);
  RowText(look, lower, row.from.x + look.Px(6), line.what, look.colours.quiet, look.fonts.small,
          row.to.x - row.from.x - look.Px(12));
  if (line.door != ReviewDoor::kOpen) return;
  ImGui::PushID(line.id.value.c_str());
  ImGui::Indent(look.Px(6));
  const bool listed = desk.state().beside == line.id;
  const std::string key = listed ? std::string() : scene.keys.KeyFor("list differences");
  if (KeyedButton(look, "Where they differ", key) && !listed) desk.ListDifferences(line.id);
  ImGui::Unindent(look.Px(6));
  ImGui::PopID();
}

void DrawDifference(FairDesk& desk, const Scene& scene, std::size_t number) {
  const Look& look = scene.look;
  const DifferenceLine& line = desk.state().differences[number];
  const float wrap = ImGui::GetContentRegionAvail().x - look.Px(12);
  const float how = look.script->Size(look.fonts.small, line.how, wrap).y;
  const bool here = desk.state().at == number;
  const Row row = BeginRow(look, fmt::format("difference {}", number).c_str(), look.Px(24) + how, here);
  if (row.pressed) desk.GoTo(number);
  if (here && desk.TakeTurn()) ImGui::SetScrollHereY(0.5F);
  const std::string time = line.at ? ClockText(scene.Seconds(*line.at), 1) : "";
  const float time_width = look.script->Size(look.fonts.small, time).x;
  const Row upper{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
  RowText(look, upper, row.from.x + look.Px(6), line.what, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - time_width - look.Px(24));
  RowTextRight(look, upper, row.to.x - look.Px(6), time, look.colours.quiet, look.fonts.small);
  look.script->Draw(ImGui::GetWindowDrawList(), look.fonts.small,
                    {row.from.x + look.Px(6), row.from.y + look.Px(20)}, Ink(look.colours.quiet), line.how,
                    wrap);
}

void DrawDifferences(FairDesk& desk, const Scene& scene) {
  const FairState& state = desk.state();
  if (!state.beside) return;
  const Look& look = scene.look;
  if (state.Loading()) return SayQuietly(look, "Reading the other review …");
  Heading(look, state.differences.size() == 1 ? "One difference"
                                              : fmt::format("{} differences", state.differences.size()));
  if (state.differences.empty())
    return SayQuietly(look, "Both saw the same: steps within a second of each other.");
  SayQuietly(look,
             fmt::format("{} goes to the next, {} to the one before.", scene.keys.KeyFor("next difference"),
                         scene.keys.KeyFor("previous difference")));
  for (std::size_t i = 0; i < state.differences.size(); ++i) DrawDifference(desk, scene, i);
}

void DrawBegin(const NewReview& next, const Scene& scene) {
  const Look& look = scene.look;
  Heading(look, "Begin another review");
  const auto either = [&](const char* one, const char* other, bool other_holds, const char* action) {
    if (EitherButton(look, one, other, other_holds, scene.keys.KeyFor(action)))
      scene.wishes.actions.emplace_back(action);
  };
  either("formative", "formal", next.kind == ReviewKind::kFormal, "review kind");
  either("a reviewer's", "the operator's own", next.is_self, "review whose");
  const bool blinded = next.blinding == Blinding::kBlinded;
  if (!next.is_self) either("names shown", "blinded", blinded, "review blinded");
  if (blinded)
    SayQuietly(
        look,
        "You have seen whose case this is. To be shown no names at all, open it from a folder of cases "
        "that is reviewed blinded: the sheet of cases.");
  Keyed(scene, "Begin it", "begin review");
}

}  // namespace

void DrawReviewSheet(FairDesk& desk, const Scene& scene) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {scene.look.Px(6), scene.look.Px(3)});
  DrawOpenReview(scene);
  const auto lines = ReviewLines(scene.view.reviews, scene.view.review, scene.view.hidden);
  if (lines.size() > 1) {
    Heading(scene.look, fmt::format("{} reviews of this case", lines.size()));
    for (const ReviewLine& line : lines) DrawReview(desk, scene, line);
  }
  DrawDifferences(desk, scene);
  if (!scene.view.folder.empty() && !scene.view.read_only && !scene.view.hidden)
    DrawBegin(desk.state().next, scene);
  ImGui::PopStyleVar();
}

}  // namespace afterscope
