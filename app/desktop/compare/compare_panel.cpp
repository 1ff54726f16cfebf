// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/compare_panel.hpp"

#include "annotate/overlay/build_shapes.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/picture/shape_painter.hpp"
#include "app/desktop/timeline/paint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kHeader = 34;
constexpr float kUnderPane = 26;
constexpr float kGap = 6;
constexpr float kRow = 22;
constexpr std::size_t kMostRows = 9;

// How far something has run; at its end, all of it.
std::string RunText(double run, double length) {
  return run < length ? ClockText(run, 1) : TotalText(length, 1);
}

class Panel {
 public:
  Panel(CompareDesk& desk, const Scene& scene, const FindingLabels& labels)
      : desk_(desk), scene_(scene), look_(scene.look), labels_(labels), list_(ImGui::GetWindowDrawList()) {}

  // Which step, how fast, how matched.
  void Header(const ScreenRect& area) {
    float x = area.left + look_.Px(12);
    const float y = (area.top + area.bottom) / 2;
    list_->AddRectFilled({x, y - look_.Px(8)}, {x + look_.Px(4), y + look_.Px(8)},
                         Ink(look_.colours.Band(TintOrder(scene_.steps, desk_.step()))), look_.Px(2));
    x += look_.Px(12);
    x += Text({x, y}, look_.fonts.strong, look_.colours.text, scene_.steps.NameOf(desk_.step())) +
         look_.Px(18);
    x +=
        Text({x, y}, look_.fonts.figures, look_.colours.text, RunText(desk_.At(scene_.now), desk_.Length())) +
        look_.Px(10);
    x += Text({x, y}, look_.fonts.small, look_.colours.quiet, "of " + TotalText(desk_.Length(), 1)) +
         look_.Px(18);
    x += Text({x, y}, look_.fonts.body, desk_.speed() == 1 ? look_.colours.quiet : look_.colours.text,
              SpeedText(desk_.speed())) +
         look_.Px(18);
    ImGui::SetCursorScreenPos({x, area.top + look_.Px(4)});
    const bool matched = desk_.matching() == ComparedSpeed::kMatched;
    if (ButtonRow(look_).Add(matched ? "matched: all end together" : "each at its own speed",
                             scene_.keys.KeyFor("matched speed"), matched))
      scene_.wishes.actions.emplace_back("matched speed");
  }

  void Pane(std::size_t number, const Clarity& clarity, const ScreenRect& area) {
    ComparePane& pane = *desk_.panes()[number];
    const ScreenRect picture{area.left, area.top, area.right, area.bottom - look_.Px(kUnderPane)};
    list_->AddRectFilled({picture.left, picture.top}, {picture.right, picture.bottom},
                         Ink(look_.colours.surround));
    Picture(pane, clarity, picture);
    Under(number, pane, {area.left, picture.bottom, area.right, area.bottom});
    if (number == desk_.chosen() && desk_.AnyHasVisits())
      list_->AddRect({area.left + 1, area.top + 1}, {area.right - 1, area.bottom - 1},
                     Ink(look_.colours.focus), 0, 0, look_.Px(2));
  }

  void Table(const ScreenRect& area) {
    const auto cases = desk_.Cases();
    auto names = FindingsBeside(cases, desk_.step());
    const auto rows = static_cast<std::size_t>(std::max(0.0F, area.Height() / look_.Px(kRow)));
    if (names.size() > rows) names.resize(rows);
    const float middle = (area.left + area.right) / 2;
    const float column = area.Width() * 0.28F;
    for (std::size_t i = 0; i < names.size(); ++i) {
      const float y = area.top + look_.Px(kRow) * (static_cast<float>(i) + 0.5F);
      const std::string label = Fitted(look_, look_.fonts.small, FindingLabelText(labels_, names[i]), column);
      const float width = look_.script->Size(look_.fonts.small, label).x;
      Text({middle - width / 2, y}, look_.fonts.small, look_.colours.quiet, label);
      Value(FindingOf(*cases[0], names[i], desk_.step()), middle - column / 2 - look_.Px(20), y, true);
      Value(FindingOf(*cases[1], names[i], desk_.step()), middle + column / 2 + look_.Px(20), y, false);
    }
  }

 private:
  // From the left, its middle at that height; returns its width.
  float Text(ImVec2 at, const ImFont* font, Rgb colour, const std::string& text) {
    const ImVec2 size = look_.script->Size(font, text);
    look_.script->Draw(list_, font, {std::round(at.x), std::round(at.y - size.y / 2)}, Ink(colour), text);
    return size.x;
  }

  // Ends (or starts) at x: the value next to the label, its limits farther out.
  void Value(const Finding* finding, float x, float y, bool ends_there) {
    const bool known = finding != nullptr && finding->measured.estimate;
    const std::string value = known ? FindingValueText(*finding) : "not computed";
    const std::string limits = known ? FindingLimitsText(*finding) : "";
    const ImFont* font = known ? look_.fonts.body : look_.fonts.small;
    const float value_width = look_.script->Size(font, value).x;
    const float limits_width = look_.script->Size(look_.fonts.small, limits).x;
    const float gap = look_.Px(12);
    Text({ends_there ? x - value_width : x, y}, font, known ? look_.colours.text : look_.colours.quiet,
         value);
    Text({ends_there ? x - value_width - gap - limits_width : x + value_width + gap, y}, look_.fonts.small,
         look_.colours.quiet, limits);
  }

  void Picture(ComparePane& pane, const Clarity& clarity, const ScreenRect& area) {
    const afterscope::Picture& picture = pane.player.shown();
    if (picture.empty()) return Notice(Missing(pane), area);
    const ShownPicture shown = ShownPicture::Of(picture);
    const ScreenFromShown placed = PictureView().Placed(shown, area);
    pane.painter.SetClarity(clarity);
    pane.painter.SetPicture(picture);
    pane.order = {&pane.painter, placed, area};
    PaintLater(list_, pane.order);
    if (desk_.playing() || !pane.player.exact()) return;
    list_->PushClipRect({area.left, area.top}, {area.right, area.bottom}, true);
    OverlayOptions options;
    options.mm_bar = area.Width() > look_.Px(420);
    PaintShapes(look_, list_,
                BuildShapes(pane.data.record, pane.data.review, pane.player.playhead(), options),
                placed.OfSq(shown));
    list_->PopClipRect();
  }

  static std::string Missing(const ComparePane& pane) {
    for (const Reel::Item& item : pane.reel.items())
      if (item.state == Reel::State::kMissing) return item.problem;
    return pane.player.problem().empty() ? "Opening the recording …" : pane.player.problem();
  }

  void Notice(const std::string& text, const ScreenRect& area) {
    const float wrap = std::max(1.0F, area.Width() - look_.Px(40));
    const ImVec2 size = look_.script->Size(look_.fonts.body, text, wrap);
    look_.script->Draw(list_, look_.fonts.body,
                       {std::round((area.left + area.right - size.x) / 2),
                        std::round((area.top + area.bottom - size.y) / 2)},
                       Ink(look_.colours.quiet), text, wrap);
  }

  // How far the step has run, whose case it is, and how long the step takes.
  void Under(std::size_t number, const ComparePane& pane, const ScreenRect& area) {
    const double run = desk_.RunOf(pane, scene_.now);
    const double length = pane.stretch.length_s;
    const float share = length > 0 ? static_cast<float>(std::clamp(run / length, 0.0, 1.0)) : 0;
    const float line = look_.Px(3);
    list_->AddRectFilled({area.left, area.top}, {area.right, area.top + line}, Ink(look_.colours.rule));
    list_->AddRectFilled({area.left, area.top}, {area.left + share * area.Width(), area.top + line},
                         Ink(look_.colours.focus));
    const float y = (area.top + line + area.bottom) / 2;
    const std::string time =
        RunText(run, length) + " of " + TotalText(length, 1) + (share >= 1 ? "  ended" : "");
    const float time_width = look_.script->Size(look_.fonts.small, time).x;
    Text({area.right - look_.Px(8) - time_width, y}, look_.fonts.small,
         share >= 1 ? look_.colours.quiet : look_.colours.text, time);
    const std::size_t visits = VisitsOf(pane.data.review, pane.clock, desk_.step()).size();
    float room = area.Width() - time_width - look_.Px(40);
    if (visits > 1) room -= VisitWord(number, pane, visits, area.right - look_.Px(28) - time_width, area);
    Text({area.left + look_.Px(8), y}, look_.fonts.small, look_.colours.text,
         Fitted(look_, look_.fonts.small, CaseWords(pane.data.record), room));
  }

  // Pressed, it goes to the next visit; ends at x. Its width.
  float VisitWord(std::size_t number, const ComparePane& pane, std::size_t visits, float x,
                  const ScreenRect& area) {
    const std::string word = fmt::format("visit {} of {}", std::min(pane.visit, visits - 1) + 1, visits);
    const float width = look_.script->Size(look_.fonts.small, word).x;
    ImGui::SetCursorScreenPos({x - width, area.top});
    if (ImGui::InvisibleButton(fmt::format("visit {}", number).c_str(), {width, area.Height()}))
      desk_.NextVisit(number, scene_.now);
    const bool hovered = ImGui::IsItemHovered();
    if (hovered) scene_.wishes.under = "Press for the next visit of this step";
    const float y = (area.top + area.bottom) / 2 + look_.Px(1.5F);
    Text({x - width, y}, look_.fonts.small, hovered ? look_.colours.focus : look_.colours.quiet, word);
    const std::string key = number == desk_.chosen() ? scene_.keys.KeyFor("remark") : std::string();
    if (key.empty()) return width + look_.Px(16);
    const float key_width = KeyWidth(look_, key) + look_.Px(6);
    DrawKey(look_, list_, {x - width - key_width, y - look_.Px(9)}, key);
    return width + key_width + look_.Px(16);
  }

  CompareDesk& desk_;
  const Scene& scene_;
  const Look& look_;
  const FindingLabels& labels_;
  ImDrawList* list_;
};

// What the findings below two panes need.
float TableHeight(const CompareDesk& desk, const Look& look, float height) {
  if (desk.panes().size() != 2) return 0;
  const std::size_t rows = std::min(kMostRows, FindingsBeside(desk.Cases(), desk.step()).size());
  return std::min(look.Px(kRow) * static_cast<float>(rows) + look.Px(10), height * 0.34F);
}

}  // namespace

void DrawCompare(CompareDesk& desk, const Scene& scene, const FindingLabels& labels, const Clarity& clarity,
                 const ScreenRect& area) {
  const Look& look = scene.look;
  Panel panel(desk, scene, labels);
  const float top = area.top + std::round(look.Px(kHeader));
  const float table_top = area.bottom - std::round(TableHeight(desk, look, area.Height()));
  const auto panes =
      PaneAreas(desk.panes().size(), {area.left, top, area.right, table_top}, std::round(look.Px(kGap)));
  for (std::size_t i = 0; i < panes.size(); ++i) panel.Pane(i, clarity, panes[i]);
  panel.Header({area.left, area.top, area.right, top});
  if (desk.panes().size() == 2) panel.Table({area.left, table_top + look.Px(6), area.right, area.bottom});
}

std::vector<KeyHint> CompareHints(const CompareDesk& desk, const Scene& scene) {
  std::vector<KeyHint> hints;
  const auto add = [&](const char* action, const char* words) {
    const std::string key = scene.keys.KeyFor(action);
    if (!key.empty()) hints.push_back({key, words});
  };
  add("play", desk.playing() ? "pause" : "play");
  add("next boundary", "next step");
  add("first frame", "from the start");
  add("matched speed", desk.matching() == ComparedSpeed::kOwn ? "match speeds" : "own speeds");
  if (desk.AnyHasVisits()) add("next moment", "next case");
  if (desk.AnyHasVisits()) add("remark", "its next visit");
  add("next frame", "frame on");
  add("slower", "slower");
  add("leave", "end comparing");
  add("key list", "all keys");
  return hints;
}

}  // namespace afterscope
