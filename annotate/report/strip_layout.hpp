// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_model.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// The operation as one band with the names of its steps: inside a visit where the name fits, else at the end
// of a thin line, below the band to the right of its line, or above it to the left where there is no room to
// the right; in as many rows as it takes for no name to lie over another or over a line.
struct StripBox {
  double x = 0;
  double width = 0;
  std::size_t order = 0;
  bool taken_over = false;
  std::string inside;  // the name, if it fits
};
struct StripLabel {
  double x = 0;  // left edge of the name
  double width = 0;
  double line_x = 0;  // where its line leaves the band
  int row = 0;        // 0 is next to the band
  bool above = false;
  std::string text;
};
struct StripLayout {
  std::vector<StripBox> boxes;
  std::vector<StripLabel> labels;
  int rows_below = 0;
  int rows_above = 0;
  std::vector<double> moments;  // x
  double XOf(double seconds) const;
  double start_seconds = 0;
  double units_per_second = 0;
};

// How wide a text is, in the units of the strip.
using TextWidth = std::function<double(const std::string&)>;

// Every step is named at least once, at its longest visit. A name wider than a third of the strip is
// shortened.
StripLayout LayOutStrip(const OperationStrip& strip, double width, const TextWidth& width_of);

// Round times (seconds since the start of the strip) for an axis with about eight marks.
std::vector<double> AxisTimes(const OperationStrip& strip);

}  // namespace afterscope
