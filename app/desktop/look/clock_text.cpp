// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace afterscope {
namespace {

// One figure of the half width, two where it begins with 1 or 2.
int DecimalsFor(double half) {
  const double exponent = std::floor(std::log10(half));
  const bool small_figure = half / std::pow(10, exponent) < 3;
  return std::clamp(static_cast<int>(-exponent) + (small_figure ? 1 : 0), 0, 4);
}

}  // namespace

std::string ClockText(double seconds, int decimals) {
  constexpr std::array<std::int64_t, 4> kParts{1, 10, 100, 1000};
  const std::int64_t per_second = kParts[static_cast<std::size_t>(std::clamp(decimals, 0, 3))];
  // A hair added, so that a time that is a whole number of parts is not shown one part early.
  const auto parts =
      static_cast<std::int64_t>(std::floor(std::max(0.0, seconds) * static_cast<double>(per_second) + 1e-6));
  const std::int64_t whole = parts / per_second;
  std::string text = whole >= 3600 ? fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60)
                                   : fmt::format("{}:{:02}", whole / 60, whole % 60);
  if (decimals > 0) text += fmt::format(".{:0{}}", parts % per_second, std::clamp(decimals, 0, 3));
  return text;
}

std::string LengthText(double seconds) {
  if (const auto tenths = std::llround(seconds * 10); tenths < 600)
    return fmt::format("{:.1f} s", static_cast<double>(tenths) / 10);
  if (const auto whole = std::llround(seconds); whole < 3600)
    return fmt::format("{} min {:02} s", whole / 60, whole % 60);
  const auto minutes = std::llround(seconds / 60);
  return fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
}

std::string TotalText(double seconds, int decimals) {
  const double per_second = std::pow(10, decimals);
  return ClockText(std::round(seconds * per_second) / per_second, decimals);
}

std::string SpeedText(double speed) {
  if (speed >= 1) return fmt::format("{:.0f} ×", speed);
  return fmt::format("1/{:.0f} ×", 1 / speed);
}

std::string ValueText(double value, double low, double high) {
  const double half = (high - low) / 2;
  int decimals = 2;
  if (half > 0 && std::isfinite(half)) decimals = DecimalsFor(half);
  return fmt::format("{:.{}f}", value, decimals);
}

}  // namespace afterscope
