// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clock_line.hpp"

#include "annotate/case/visits.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// What is left out of a line that is narrower, at 100 %.
constexpr float kRoomForTotal = 420;
constexpr float kRoomForFrame = 560;
constexpr float kRoomForKeys = 900;

// Places pieces one after another along the line.
class Line {
 public:
  Line(const Scene& scene, const ScreenRect& area)
      : scene_(scene),
        look_(scene.look),
        area_(area),
        list_(ImGui::GetWindowDrawList()),
        x_(area.left + look_.Px(12)) {}

  void PlayButton() {
    const float size = look_.Px(26);
    const ImVec2 from{x_, std::round((area_.top + area_.bottom - size) / 2)};
    ImGui::SetCursorScreenPos(from);
    if (ImGui::InvisibleButton("play", {size, size})) scene_.wishes.actions.emplace_back("play");
    const bool hovered = ImGui::IsItemHovered();
    if (hovered)
      scene_.wishes.under =
          (scene_.player.playing() ? "Pause  –  " : "Play  –  ") + scene_.keys.KeyFor("play");
    const Rgb ink = hovered ? look_.colours.focus : look_.colours.text;
    const ImVec2 m{from.x + size / 2, from.y + size / 2};
    const float r = look_.Px(8);
    if (scene_.player.playing()) {
      list_->AddRectFilled({m.x - r * 0.8F, m.y - r}, {m.x - r * 0.2F, m.y + r}, Ink(ink));
      list_->AddRectFilled({m.x + r * 0.2F, m.y - r}, {m.x + r * 0.8F, m.y + r}, Ink(ink));
    } else {
      list_->AddTriangleFilled({m.x - r * 0.65F, m.y - r}, {m.x + r, m.y}, {m.x - r * 0.65F, m.y + r},
                               Ink(ink));
    }
    x_ += size + look_.Px(8);
  }

  // reserve: as wide as this text at least, so that what follows stands still.
  void Text(const std::string& text, Rgb colour, const ImFont* font, float gap,
            const std::string& reserve = {}) {
    const float width =
        std::max(look_.script->Size(font, text).x, reserve.empty() ? 0 : look_.script->Size(font, reserve).x);
    look_.script->Draw(list_, font, {x_, Middle(font)}, Ink(colour), text);
    x_ += width + look_.Px(gap);
  }

  // From the right edge.
  void Word(const std::string& text, Rgb colour) {
    right_ -= look_.script->Size(look_.fonts.small, text).x + look_.Px(16);
    WriteWord(text, colour);
  }

  // The same as a button, with the key that does it where there is room.
  void Action(const char* action, const std::string& text, Rgb colour) {
    const std::string key = scene_.keys.KeyFor(action);
    const bool keyed = !key.empty() && area_.Width() >= look_.Px(kRoomForKeys);
    const float words = look_.script->Size(look_.fonts.small, text).x;
    const float width = words + (keyed ? KeyWidth(look_, key) + look_.Px(6) : 0);
    right_ -= width + look_.Px(16);
    const float left = area_.right + right_;
    ImGui::SetCursorScreenPos({left - look_.Px(4), area_.top});
    if (ImGui::InvisibleButton(action, {width + look_.Px(8), area_.Height()}))
      scene_.wishes.actions.emplace_back(action);
    const bool hovered = ImGui::IsItemHovered();
    if (hovered && !keyed) scene_.wishes.under = action + ("  –  " + key);
    WriteWord(text, hovered ? look_.colours.text : colour);
    if (keyed)
      DrawKey(look_, list_,
              {left + words + look_.Px(6), std::round((area_.top + area_.bottom - look_.Px(19)) / 2)}, key);
  }

  void Step() {
    const StepVisit* running = RunningVisit(scene_.view.review, scene_.player.playhead());
    const float room = area_.right + right_ - look_.Px(30) - x_;
    if (running == nullptr || room < look_.Px(30)) return;
    const float y = (area_.top + area_.bottom) / 2;
    list_->AddRectFilled({x_, y - look_.Px(8)}, {x_ + look_.Px(4), y + look_.Px(8)},
                         Ink(look_.colours.Band(TintOrder(scene_.steps, running->step))), look_.Px(2));
    x_ += look_.Px(10);
    std::string words = scene_.steps.NameOf(running->step);
    const std::string who = OperatorOf(scene_.view.record, *running);
    if (running->taken_over)
      words += "   taken over" + (who.empty() ? "" : " by " + who);
    else if (!who.empty())
      words += "   " + who;
    Text(Fitted(look_, look_.fonts.body, words, room), look_.colours.text, look_.fonts.body, 0);
  }

 private:
  void WriteWord(const std::string& text, Rgb colour) {
    const ImFont* font = look_.fonts.small;
    look_.script->Draw(list_, font, {area_.right + right_, Middle(font)}, Ink(colour), text);
  }

  float Middle(const ImFont* font) const {
    return std::round((area_.top + area_.bottom - font->FontSize) / 2);
  }

  const Scene& scene_;
  const Look& look_;
  const ScreenRect& area_;
  ImDrawList* list_;
  float x_;
  float right_ = 0;
};

std::string FrameWords(const Scene& scene) {
  const FrameRef at = scene.player.playhead();
  const auto index = IndexOf(scene.tables, at);
  if (!index) return {};
  const bool several = scene.reel.items().size() > 1;
  return several ? fmt::format("frame {} of recording {}", *index, at.recording + 1)
                 : fmt::format("frame {}", *index);
}

std::string SoundWord(const Scene& scene) {
  if (scene.sound.hidden) return "sound hidden";
  if (scene.sound.muted) return "sound off";
  if (!scene.sound.audible) return "no sound at this speed";
  return fmt::format("sound {} %", scene.sound.volume_pct);
}

}  // namespace

void DrawClockLine(const Scene& scene, const PictureView& picture, const PlayChoice& choice,
                   const ScreenRect& area) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  Line line(scene, area);
  line.PlayButton();
  const std::string total = TotalText(scene.clock.TotalSeconds(), 1);
  line.Text(ClockText(scene.Seconds(scene.player.playhead()), 2), c.text, look.fonts.figures, 10,
            total.size() > 8 ? "0:00:00.00" : "00:00.00");
  if (area.Width() >= look.Px(kRoomForTotal)) line.Text("of " + total, c.quiet, look.fonts.small, 18);
  if (area.Width() >= look.Px(kRoomForFrame))
    line.Text(FrameWords(scene), c.quiet, look.fonts.small, 18,
              scene.reel.items().size() > 1 ? "frame 000000 of recording 0" : "frame 000000");
  line.Text(SpeedText(scene.player.speed()), scene.player.speed() == 1 ? c.quiet : c.text, look.fonts.body,
            18, "1/8 ×");
  if (!scene.player.shown().empty()) line.Action("picture controls", "picture", c.quiet);
  if (!picture.fitted()) line.Action("fit", "fit the picture", c.quiet);
  if (scene.sound.there) line.Action("mute", SoundWord(scene), scene.sound.Heard() ? c.quiet : c.text);
  if (const std::string played = ChoiceWords(choice, scene.steps, scene.clock); !played.empty())
    line.Action("play everything", "× " + Fitted(look, look.fonts.small, played, area.Width() / 4), c.text);
  if (scene.view.read_only) line.Word("! read-only", c.warning);
  if (scene.player.waiting()) line.Word("waiting for the picture", c.quiet);
  line.Step();
}

}  // namespace afterscope
