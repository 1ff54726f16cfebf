// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_chart.hpp"

#include "app/desktop/look/widgets.hpp"
#include "app/desktop/series/chart_view.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace afterscope {
namespace {

constexpr float kMargin = 18;
constexpr float kTitle = 40;  // from the top to the chart
constexpr float kSpot = 28;   // the line that tells the case
constexpr float kBelow = 8;
constexpr float kLeastChart = 190;  // before the words get more than their share
constexpr float kWordsShare = 0.25F;
constexpr float kLow = 260;  // less height: the words wait

// How high the words may be.
float MostWords(const Look& look, float height) {
  const float rest = height - look.Px(kTitle + kSpot + kBelow + kLeastChart);
  return std::max(kWordsShare * height, std::min(rest, height / 2));
}

// What stands under a chart, each with its font.
struct Words {
  std::vector<std::string> sentences;
  std::string legend;

  float Height(const Look& look, float width) const {
    const float apart = ImGui::GetStyle().ItemSpacing.y;
    float height = 0;
    for (const std::string& sentence : sentences)
      height += look.script->Size(look.fonts.body, sentence, width).y + apart;
    return legend.empty() ? height : height + look.script->Size(look.fonts.small, legend, width).y + apart;
  }
};

void DrawWords(const Look& look, const Words& words, const ScreenRect& area) {
  ImGui::SetCursorScreenPos({area.left, area.top});
  ImGui::BeginChild("words of the chart", {area.Width(), std::max(1.0F, area.bottom - area.top)});
  for (const std::string& sentence : words.sentences)
    Say(look, sentence, look.colours.text, look.fonts.body, true);
  if (!words.legend.empty()) SayQuietly(look, words.legend);
  ImGui::EndChild();
}

void DrawLine(const Look& look, const ImFont* font, const ScreenRect& area, float y, Rgb colour,
              const std::string& words) {
  look.script->Draw(ImGui::GetWindowDrawList(), font, {area.left, y}, Ink(colour),
                    Fitted(look, font, words, area.Width()));
}

}  // namespace

void SeriesChart::Turn(int direction, std::size_t count) {
  if (count == 0) return point_.reset();
  if (!point_)
    point_ = direction > 0 ? 0 : count - 1;
  else
    point_ = (*point_ + (direction > 0 ? 1 : count - 1)) % count;
}

std::optional<std::size_t> SeriesChart::Draw(const Look& look, const SeriesFigure& figure,
                                             const SeriesModel& model, const ScreenRect& picture) {
  const ScreenRect inside{picture.left + look.Px(kMargin), picture.top, picture.right - look.Px(kMargin),
                          picture.bottom - look.Px(kBelow)};
  const Words words{SentencesOf(figure, model), LegendOf(figure, model)};
  const bool low = picture.Height() < look.Px(kLow);
  const std::string spot = point_ ? SpotOf(figure, model, *point_).words : std::string();
  DrawLine(look, look.fonts.strong, inside, picture.top + look.Px(low ? 4 : 12), look.colours.text,
           low && !spot.empty() ? spot : figure.label);
  if (figure.words_alone) {
    DrawWords(look, words, {inside.left, picture.top + look.Px(kTitle + 4), inside.right, inside.bottom});
    return std::nullopt;
  }
  // The words wrap within a child window that may need a bar to be moved by.
  const float wanted = words.Height(look, inside.Width() - ImGui::GetStyle().ScrollbarSize);
  const float height = low ? 0 : look.Px(kSpot) + std::min(wanted, MostWords(look, picture.Height()));
  const ScreenRect chart{inside.left, picture.top + look.Px(low ? 30 : kTitle), inside.right,
                         inside.bottom - height};
  const bool pressed = DrawPoints(look, figure, model, chart);
  if (!low) {
    DrawLine(look, look.fonts.body, inside, chart.bottom + look.Px(2),
             spot.empty() ? look.colours.quiet : look.colours.text,
             spot.empty() ? "Point at a case, or step to it: a press opens it." : spot);
    DrawWords(look, words, {inside.left, chart.bottom + look.Px(kSpot), inside.right, inside.bottom});
  }
  return pressed ? point_ : std::nullopt;
}

bool SeriesChart::DrawPoints(const Look& look, const SeriesFigure& figure, const SeriesModel& model,
                             const ScreenRect& area) {
  const ChartView view{area.left, area.top, ChartScale(look)};
  const float height = std::max(look.Px(40), area.bottom - area.top);
  const Chart chart = ChartOf(figure, model, area.Width() / view.scale, height / view.scale);
  ImGui::SetCursorScreenPos({area.left, area.top});
  ImGui::InvisibleButton("chart", {std::max(1.0F, area.Width()), height});
  bool pressed = false;
  if (ImGui::IsItemHovered()) {
    const ImVec2 mouse = ImGui::GetIO().MousePos;
    if (const auto under = PointUnder(chart, view, mouse.x, mouse.y, look.Px(12))) {
      point_ = under;
      pressed = ImGui::IsItemClicked();
    }
  }
  PaintChart(look, ImGui::GetWindowDrawList(), chart, view, point_);
  return pressed;
}

}  // namespace afterscope
