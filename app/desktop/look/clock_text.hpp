// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// A time of the case clock: "3:07.48", "1:03:07.48"; decimals 0 to 3, cut, not rounded (a clock shows 59, not
// 60). Figures are of equal width, so that it does not tremble.
std::string ClockText(double seconds, int decimals);
// A length of time in words' place, rounded as reports round it: "48.3 s", "3 min 07 s", "1 h 03 min".
std::string LengthText(double seconds);
// How long all of what a clock runs over lasts, in the clock's form, but rounded.
std::string TotalText(double seconds, int decimals);
// "1/8 ×" to "8 ×".
std::string SpeedText(double speed);
// A value with as many decimals as its limits justify: one figure of half their width, two where it
// begins with 1 or 2.
std::string ValueText(double value, double low, double high);

}  // namespace afterscope
