// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// Numbers as a reader sees them; always with '.' as the decimal sign, and a real minus sign.

// A time on a clock: "1:02.40", "1:00:02.40"; rounded to hundredths.
std::string FormatClock(double seconds);
// A length of time: "32.4 s", "1:32.4", "1:02:32.4".
std::string FormatLength(double seconds);
// A share in percent: "82 %".
std::string FormatShare(double share);

// A value and its limits, each with as many decimals as the limits justify: one figure of half their
// width, two where that begins with 1 or 2. A time whose limits read alike is given with plus-minus.
struct EstimateText {
  std::string value;   // "5.12 mm"
  std::string limits;  // "4.95 to 5.29"; empty where the limits are the value
};
EstimateText FormatEstimate(const Estimate& estimate, const std::string& unit);

// How a unit is written: "mm2" gives "mm²", "deg" gives "°", "1" gives nothing.
std::string UnitText(const std::string& unit);
// A number with its unit after it, never parted by the end of a line.
std::string WithUnit(const std::string& number, const std::string& unit);
// Names and values of a moment's fields in a line.
std::string FieldsText(const std::vector<std::pair<std::string, std::string>>& fields);

}  // namespace afterscope
