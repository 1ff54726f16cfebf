// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/strip_layout.hpp"

#include <algorithm>
#include <map>

namespace afterscope {

namespace {

constexpr double kLeastBox = 0.8;  // what is narrower would not be seen
constexpr double kInsideAir = 5;   // a name needs that much more than its own width
constexpr double kBetween = 7;     // between two names of a row

// The longest beginning that fits, with an ellipsis; whole characters only.
std::string Shortened(const std::string& text, double most, const TextWidth& width_of) {
  if (width_of(text) <= most) return text;
  std::string out = text;
  while (!out.empty()) {
    out.pop_back();
    while (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0) == 0x80) out.pop_back();
    if (!out.empty() && static_cast<unsigned char>(out.back()) >= 0xC0) out.pop_back();
    if (width_of(out + "…") <= most) break;
  }
  return out + "…";
}

bool Crosses(const StripLabel& label, double line_x) {
  return line_x > label.x - 1.5 && line_x < label.x + label.width + 1.5;
}

bool Fits(const StripLabel& label, int row, const std::vector<StripLabel>& placed) {
  return std::none_of(placed.begin(), placed.end(), [&](const StripLabel& other) {
    const bool overlap =
        label.x < other.x + other.width + kBetween && other.x < label.x + label.width + kBetween;
    if (other.row == row) return overlap;
    if (other.row < row) return Crosses(other, label.line_x);
    return Crosses(label, other.line_x);
  });
}

// Longest visit of each step whose name is inside none of its visits.
std::vector<std::size_t> VisitsToLabel(const OperationStrip& strip, const StripLayout& layout) {
  std::map<std::string, std::size_t> longest;
  std::map<std::string, bool> named;
  for (std::size_t i = 0; i < strip.visits.size(); ++i) {
    const std::string& name = strip.visits[i].step_name;
    named[name] = named[name] || !layout.boxes[i].inside.empty();
    const auto [at, fresh] = longest.emplace(name, i);
    if (!fresh && layout.boxes[i].width > layout.boxes[at->second].width) at->second = i;
  }
  std::vector<std::size_t> out;
  for (const auto& [name, i] : longest)
    if (!named[name]) out.push_back(i);
  std::sort(out.begin(), out.end(), std::greater<>());  // from the right: what is left of it goes lower
  return out;
}

StripLabel LabelOf(const StripVisit& visit, const StripBox& box, double width, const TextWidth& width_of) {
  StripLabel label;
  label.text = Shortened(visit.step_name, width / 3, width_of);
  label.width = width_of(label.text);
  label.line_x = box.x + box.width / 2;
  label.above = label.line_x + label.width > width;
  label.x = label.above ? label.line_x - label.width : label.line_x;
  return label;
}

// In the first row where it lies over nothing that is there already.
int Place(StripLabel label, std::vector<StripLabel>& placed) {
  const int most = static_cast<int>(placed.size());
  while (label.row < most && !Fits(label, label.row, placed)) ++label.row;
  placed.push_back(label);
  return label.row + 1;
}

// Below the band from the right, above it from the left: what comes later goes farther out, clear of earlier
// lines.
void PlaceLabels(const OperationStrip& strip, double width, const TextWidth& width_of, StripLayout& layout) {
  std::vector<StripLabel> below, above;
  for (const std::size_t i : VisitsToLabel(strip, layout)) {
    StripLabel label = LabelOf(strip.visits[i], layout.boxes[i], width, width_of);
    if (label.above)
      above.push_back(std::move(label));
    else
      layout.rows_below = std::max(layout.rows_below, Place(std::move(label), below));
  }
  std::vector<StripLabel> placed;
  for (auto label = above.rbegin(); label != above.rend(); ++label)
    layout.rows_above = std::max(layout.rows_above, Place(*label, placed));
  layout.labels = std::move(below);
  layout.labels.insert(layout.labels.end(), placed.begin(), placed.end());
}

}  // namespace

double StripLayout::XOf(double seconds) const { return (seconds - start_seconds) * units_per_second; }

StripLayout LayOutStrip(const OperationStrip& strip, double width, const TextWidth& width_of) {
  StripLayout layout;
  layout.start_seconds = strip.start_seconds;
  const double length = strip.end_seconds - strip.start_seconds;
  layout.units_per_second = length > 0 ? width / length : 0;
  for (const StripVisit& visit : strip.visits) {
    StripBox box{layout.XOf(visit.start_seconds),
                 std::max(kLeastBox, (visit.end_seconds - visit.start_seconds) * layout.units_per_second),
                 visit.order, visit.taken_over, ""};
    if (width_of(visit.step_name) + kInsideAir <= box.width) box.inside = visit.step_name;
    layout.boxes.push_back(std::move(box));
  }
  PlaceLabels(strip, width, width_of, layout);
  for (const double at : strip.moment_seconds) layout.moments.push_back(layout.XOf(at));
  return layout;
}

std::vector<double> AxisTimes(const OperationStrip& strip) {
  const double length = strip.end_seconds - strip.start_seconds;
  std::vector<double> times;
  if (!(length > 0)) return times;
  constexpr double kSteps[] = {1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600};
  double step = kSteps[0];
  for (const double candidate : kSteps) {
    step = candidate;
    if (length / step <= 9) break;
  }
  while (length / step > 20) step *= 2;
  for (int i = 0; i * step <= length; ++i) times.push_back(i * step);
  return times;
}

}  // namespace afterscope
