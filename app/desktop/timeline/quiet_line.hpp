// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "app/desktop/timeline/strip.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The one quiet line under the operation: a quantity over the case. Pure; no window code.

struct QuietSample {
  double seconds = 0;  // of the case clock
  double value = 0;
};

struct QuietSeries {
  std::string name;  // as it is said on screen
  std::string unit;  // may be empty
  bool set = false;  // what a machine was set to: each value holds until the next one
  // Stretches without a gap, each in order of time; nothing is known between them.
  std::vector<std::vector<QuietSample>> runs;
  bool by_choice = false;   // shown only where it was chosen
  bool whole = false;       // its range is always from 0 to 1, which goes without saying
  double holds_s = 0;       // for how long a stretch's last value holds
  bool from_least = false;  // its range begins at the smallest value, not at 0
};

// A value as it is said: "6.4 mm", "0.31", "360 mmHg".
std::string QuietValueText(const QuietSeries& series, double value);

// A pixel column of a line: lowest and highest value in it, as shares of the range (0 to 1).
struct QuietColumn {
  float x = 0;
  float low = 0;
  float high = 0;
  bool joined = false;  // to the column before it
};

// A stretch of a value that was set.
struct QuietLevel {
  float left = 0;
  float right = 0;
  float level = 0;  // share of the range
  double value = 0;
};

struct QuietLayout {
  // The range: from the smallest value (or 0, where that is smaller) to the largest; of millimetres, at
  // half or whole ones, a millimetre at least.
  double lowest = 0;
  double highest = 0;
  std::vector<float> rules;  // of millimetres, where half or whole ones lie between the ends: shares of it
  std::vector<QuietColumn> columns;
  std::vector<QuietLevel> levels;  // of a series that was set
};

QuietLayout LayOutQuietLine(const QuietSeries& series, const Strip& strip);

// The value at a time; empty where nothing is known.
std::optional<double> QuietValueAt(const QuietSeries& series, double seconds);

// How fast the marked tips move on the picture, in picture heights a second: the distance between positions
// at least 0.2 s apart by the time between them, of the trail that has a point then. As marked: nothing is
// taken off for marking error or the eye's own motion.
QuietSeries TipSpeed(const CaseRecord& record, const Review& review, const CaseClock& clock);

// A number of the settings moments over the case; runs is empty where none has it. `key` as in FORMAT.md.
QuietSeries SettingOverTime(const Review& review, const CaseClock& clock, const std::string& key,
                            const std::string& name, const std::string& unit);

}  // namespace afterscope
