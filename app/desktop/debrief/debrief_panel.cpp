// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/debrief/debrief_panel.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kSide = 36;
constexpr float kAbove = 56;  // of the words: the stretch, and what kind, when, in which step
constexpr float kBelow = 16;
constexpr float kMostShare = 0.4F;  // of the window

std::string NameOfKey(const Moment& moment, const WordList& complications) {
  const auto found = std::find_if(complications.items.begin(), complications.items.end(),
                                  [&](const WordList::Item& item) { return item.key == moment.key; });
  return found == complications.items.end() ? moment.key : found->name;
}

// What it is, when, and in which step.
std::string AboveWords(const Scene& scene, const Moment& moment, const WordList& complications) {
  std::string words{WordOf(moment.kind)};
  if (moment.kind == MomentKind::kComplication && !moment.key.empty() && !moment.text.empty())
    words += ": " + NameOfKey(moment, complications);
  words += "   ·   " + ClockText(scene.Seconds(moment.at), 1);
  if (const StepVisit* running = RunningVisit(scene.view.review, moment.at)) {
    words += "   ·   " + scene.steps.NameOf(running->step);
    if (running->taken_over) words += ", taken over";
  }
  return words;
}

std::string LargeWords(const Moment& moment, const WordList& complications) {
  if (!moment.text.empty()) return moment.text;
  const std::string name = NameOfKey(moment, complications);
  return name.empty() ? std::string(WordOf(moment.kind)) + " without words" : name;
}

// What is played, where the playhead is in it, and the moment itself.
void DrawStretch(const Scene& scene, const Moment& moment, const ScreenRect& area) {
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const PlayPlan plan = DebriefPlan(moment, scene.clock);
  const double from = scene.Seconds(plan.stretches.empty() ? moment.at : plan.stretches.front().start);
  const double to = scene.Seconds(plan.stretches.empty() ? moment.at : plan.stretches.front().end);
  const float y = std::round((area.top + area.bottom) / 2);
  const auto x = [&](double seconds) {
    const double share = to > from ? std::clamp((seconds - from) / (to - from), 0.0, 1.0) : 0;
    return area.left + static_cast<float>(share) * area.Width();
  };
  const float now = x(scene.Seconds(scene.player.playhead()));
  list->AddRectFilled({area.left, y - look.Px(1.5F)}, {area.right, y + look.Px(1.5F)},
                      Ink(look.colours.rule));
  list->AddRectFilled({area.left, y - look.Px(1.5F)}, {now, y + look.Px(1.5F)}, Ink(look.colours.focus));
  PaintMomentSign(look, list, moment.kind, {x(scene.Seconds(moment.at)), y}, look.Px(13));
}

}  // namespace

float DebriefHeight(const Scene& scene, const WordList& complications, float width, float window_height) {
  const Look& look = scene.look;
  float words = look.fonts.large->FontSize;
  for (const Moment* moment : DebriefMoments(scene.view.review))
    words = std::max(
        words,
        look.script->Size(look.fonts.large, LargeWords(*moment, complications), width - look.Px(2 * kSide))
            .y);
  return std::round(std::min(look.Px(kAbove + kBelow) + words, window_height * kMostShare));
}

void DrawDebrief(const DebriefState& state, const Scene& scene, const WordList& complications,
                 const ScreenRect& area) {
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const auto moments = DebriefMoments(scene.view.review);
  const auto place = PlaceOf(moments, state.at);
  const float left = area.left + look.Px(kSide);
  const float width = area.Width() - look.Px(2 * kSide);
  float y = area.top + look.Px(22);
  if (!place) {
    look.script->Draw(list, look.fonts.large, {left, y}, Ink(look.colours.quiet),
                      "This review has no remarks, teaching points or complications to talk over.", width);
    return;
  }
  const Moment& moment = *moments[*place];
  DrawStretch(scene, moment, {left, area.top, left + width, area.top + look.Px(18)});
  const std::string count = fmt::format("{} of {}", *place + 1, moments.size());
  const float count_width = look.script->Size(look.fonts.body, count).x;
  look.script->Draw(list, look.fonts.body, {left + width - count_width, y}, Ink(look.colours.quiet), count);
  look.script->Draw(list, look.fonts.body, {left, y}, Ink(look.colours.quiet),
                    Fitted(look, look.fonts.body, AboveWords(scene, moment, complications),
                           width - count_width - look.Px(24)));
  y = area.top + look.Px(kAbove - 4);
  list->PushClipRect({area.left, y}, {area.right, area.bottom}, true);
  look.script->Draw(list, look.fonts.large, {left, y}, Ink(look.colours.text),
                    LargeWords(moment, complications), width);
  list->PopClipRect();
}

std::vector<KeyHint> DebriefHints(const Scene& scene) {
  std::vector<KeyHint> hints;
  const auto add = [&](const char* action, const char* words) {
    const std::string key = scene.keys.KeyFor(action);
    if (!key.empty()) hints.push_back({key, words});
  };
  add("next moment", "next moment");
  add("previous moment", "the one before");
  add("play", scene.player.playing() ? "pause" : "play");
  add("slower", "slower");
  add("next frame", "frame on");
  add("remark", "add a remark");
  add("leave", "end the debrief");
  return hints;
}

}  // namespace afterscope
