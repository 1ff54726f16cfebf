// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A chart as it is drawn: laid out once, without knowing on what, and painted alike on paper, on a page and
// on the screen. Lengths in points, x to the right, y down, (0, 0) the top left corner.

enum class ChartInk { kInk, kSoft, kHair, kBand, kValue, kCurve, kAlarm };
enum class ChartAnchor { kStart, kMiddle, kEnd };

struct ChartPoint {
  double x = 0;
  double y = 0;
};

struct ChartBand {
  double x = 0, y = 0, width = 0, height = 0;
  ChartInk ink = ChartInk::kBand;
};

struct ChartLine {
  std::vector<ChartPoint> points;  // two or more
  ChartInk ink = ChartInk::kInk;
  double width = 1;
  bool dashed = false;
};

struct ChartDot {
  ChartPoint at;
  double radius = 2;
  ChartInk ink = ChartInk::kValue;
  bool filled = true;
  std::optional<std::size_t> point;  // which of the measure's points, for the pointer
  bool square = false;               // of side 2 radius instead
};

struct ChartText {
  ChartPoint at;  // of the base line
  std::string text;
  ChartAnchor anchor = ChartAnchor::kStart;
};

struct Chart {
  double width = 0;
  double height = 0;
  std::vector<ChartBand> bands;
  std::vector<ChartLine> lines;
  std::vector<ChartDot> dots;
  std::vector<ChartText> texts;
  std::string words;  // what it shows, for those who can't see it
};

}  // namespace afterscope
