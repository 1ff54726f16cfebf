// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/drafts/caption_line.hpp"

#include "app/desktop/look/widgets.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLastCaptionSeconds = 5;

double EndSeconds(const Review& review, std::size_t i, const CaseClock& clock) {
  const Caption& caption = review.captions[i];
  if (caption.end) return clock.Seconds(*caption.end);
  const double most = clock.Seconds(caption.start) + kLastCaptionSeconds;
  return i + 1 < review.captions.size() ? std::min(most, clock.Seconds(review.captions[i + 1].start)) : most;
}

}  // namespace

bool HasCaptions(const Review& review) {
  return !review.captions.empty() ||
         std::any_of(review.drafts.begin(), review.drafts.end(),
                     [](const Draft& draft) { return draft.state == DraftState::kOpen; });
}

CaptionLine LayOutCaptions(const Strip& strip, const CaseClock& clock, const Review& review) {
  CaptionLine line;
  for (std::size_t i = 0; i < review.captions.size(); ++i) {
    const float left = strip.XAt(clock.Seconds(review.captions[i].start));
    const float right = strip.XAt(EndSeconds(review, i, clock));
    if (right < strip.left || left > strip.right) continue;
    line.captions.push_back(
        {std::max(left, strip.left), std::min(right, strip.right), review.captions[i].text});
  }
  for (const Draft& draft : review.drafts) {
    const float x = strip.XAt(clock.Seconds(draft.start));
    if (draft.state == DraftState::kOpen && x >= strip.left && x <= strip.right)
      line.drafts.push_back({x, draft.id});
  }
  return line;
}

std::string CaptionAtX(const CaptionLine& line, float x) {
  for (const CaptionRecord& caption : line.captions)
    if (x >= caption.left && x < caption.right) return caption.text;
  return {};
}

void PaintCaptionLine(const Scene& scene, ImDrawList* list, const CaptionLine& line, RowSpan row,
                      bool with_words) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  const ImFont* font = look.fonts.small;
  for (const CaptionRecord& caption : line.captions) {
    const ImVec2 from{std::round(caption.left), row.top + 1};
    const ImVec2 to{std::max(std::round(caption.right) - 1, from.x + 1), row.bottom - 1};
    list->AddRectFilled(from, to, Ink(with_words ? c.raised : c.faint), look.Px(2));
    const float inside = to.x - from.x - look.Px(8);
    if (!with_words || inside < look.Px(14)) continue;
    std::string words = caption.text;
    std::replace(words.begin(), words.end(), '\n', ' ');
    look.script->Draw(list, font, {from.x + look.Px(4), std::round((from.y + to.y - font->FontSize) / 2)},
                      Ink(c.text), Fitted(look, font, words, inside));
  }
  // A draft is a hollow mark that points down: nothing of it is in the record yet.
  const float half = look.Px(with_words ? 5 : 3.5F);
  for (const DraftRecord& draft : line.drafts)
    list->AddTriangle({draft.x - half, row.top}, {draft.x + half, row.top}, {draft.x, row.top + half * 1.6F},
                      Ink(c.focus), std::max(1.0F, look.Px(1.4F)));
}

}  // namespace afterscope
