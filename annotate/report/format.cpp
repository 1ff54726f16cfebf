// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {

namespace {

constexpr const char* kMinus = "\u2212";

// Rounded to `decimals`; "-0" never.
std::string Number(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double rounded = std::round(value * scale) / scale;
  const std::string digits = fmt::format("{:.{}f}", std::abs(rounded), decimals);
  return rounded < 0 ? kMinus + digits : digits;
}

// seconds as h:mm:ss with `decimals`, never "60.0".
std::string Clock(double seconds, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double most = 1e12;
  const auto units = static_cast<std::int64_t>(std::llround(std::min(std::abs(seconds), most) * scale));
  const auto per_minute = static_cast<std::int64_t>(60 * scale);
  const std::int64_t minutes = units / per_minute;
  const std::string rest = fmt::format("{:0{}.{}f}", static_cast<double>(units % per_minute) / scale,
                                       decimals > 0 ? 3 + decimals : 2, decimals);
  const std::string sign = seconds < 0 && units > 0 ? kMinus : "";
  if (minutes < 60) return fmt::format("{}{}:{}", sign, minutes, rest);
  return fmt::format("{}{}:{:02}:{}", sign, minutes / 60, minutes % 60, rest);
}

int DecimalsFor(const Estimate& estimate, const std::string& unit) {
  if (unit == "count") return 0;
  const double half = (estimate.high - estimate.low) / 2;
  if (!(half > 0)) return unit == "1" ? 3 : unit == "%" ? 0 : 2;
  // One figure of half the width, two where it begins with 1 or 2.
  const int first = static_cast<int>(std::floor(std::log10(half)));
  const int decimals = half / std::pow(10.0, first) < 3 ? 1 - first : -first;
  return std::clamp(decimals, 0, 3);
}

}  // namespace

std::string FormatClock(double seconds) { return std::isfinite(seconds) ? Clock(seconds, 2) : "?"; }

std::string FormatLength(double seconds) {
  if (!std::isfinite(seconds)) return "?";
  if (std::abs(seconds) < 59.95) return Number(seconds, 1) + "\u00a0s";
  return Clock(seconds, 1);
}

std::string FormatShare(double share) {
  return std::isfinite(share) ? Number(100 * share, 0) + "\u00a0%" : "?";
}

std::string UnitText(const std::string& unit) {
  if (unit == "1" || unit == "count") return "";
  if (unit == "mm2") return "mm²";
  if (unit == "mm/s2") return "mm/s²";
  if (unit == "deg") return "°";
  if (unit == "clock hour") return "o’clock";
  return unit;
}

std::string WithUnit(const std::string& number, const std::string& unit) {
  const std::string text = UnitText(unit);
  if (text.empty()) return number;
  return text == "°" ? number + text : number + "\u00a0" + text;
}

std::string FieldsText(const std::vector<std::pair<std::string, std::string>>& fields) {
  std::vector<std::string> parts;
  parts.reserve(fields.size());
  for (const auto& [name, value] : fields) parts.push_back(fmt::format("{} {}", name, value));
  return JoinText(parts, "  ·  ");
}

EstimateText FormatEstimate(const Estimate& estimate, const std::string& unit) {
  if (!std::isfinite(estimate.value)) return {"?", ""};
  if (unit == "s") {
    const std::string low = FormatLength(estimate.low);
    const std::string high = FormatLength(estimate.high);
    if (estimate.low == estimate.high) return {FormatLength(estimate.value), ""};
    if (low != high) return {FormatLength(estimate.value), low + " to " + high};
    return {FormatLength(estimate.value),
            "±\u2009" + Number((estimate.high - estimate.low) / 2, 3) + "\u00a0s"};
  }
  const int decimals = DecimalsFor(estimate, unit);
  EstimateText text{WithUnit(Number(estimate.value, decimals), unit), ""};
  // A share of all or nothing still has its limits.
  if (estimate.HasLimits() && (estimate.low != estimate.high || unit == "1"))
    text.limits = Number(estimate.low, decimals) + " to " + Number(estimate.high, decimals);
  return text;
}

}  // namespace afterscope
