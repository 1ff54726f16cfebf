// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/timestamp_repair.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostTicks = INT64_MAX / 4;  // beyond it a timestamp is nonsense

}  // namespace

std::int64_t UsualStep(Rational time_base, Rational declared_rate) {
  const double rate = declared_rate.valid() ? declared_rate.value() : 25.0;
  return std::max<std::int64_t>(1, std::llround(1.0 / (rate * time_base.value())));
}

TimestampRepair::TimestampRepair(Rational time_base, std::int64_t usual_step, std::int64_t first)
    : second_(std::max<std::int64_t>(1, std::llround(1.0 / time_base.value()))),
      usual_step_(std::max<std::int64_t>(1, usual_step)),
      first_(first),
      step_(usual_step_) {}

// By the present offset, or by the one before if that brings the frame nearer behind the last one.
std::optional<std::int64_t> TimestampRepair::Moved(std::int64_t ticks) const {
  std::optional<std::int64_t> best;
  for (const std::int64_t offset : {offset_, previous_offset_}) {
    const std::int64_t moved = ticks + offset;
    if (moved > *last_ && (!best || moved < *best)) best = moved;
  }
  return best;
}

std::int64_t TimestampRepair::Next(std::optional<std::int64_t> ticks, std::int64_t duration) {
  if (ticks && std::abs(*ticks) > kMostTicks) ticks.reset();
  if (!ticks) ++missing_;
  if (!last_) {
    last_ = ticks.value_or(first_);
  } else if (!ticks) {
    *last_ += step_;
  } else if (const auto moved = Moved(*ticks)) {
    if (*moved != *ticks + offset_) std::swap(offset_, previous_offset_);
    last_ = moved;
  } else if (*last_ - (*ticks + offset_) >= second_) {
    ++jumps_back_;
    previous_offset_ = offset_;
    offset_ = *last_ + step_ - *ticks;
    *last_ += step_;
  } else {
    ++out_of_order_;
    *last_ += 1;
  }
  step_ = duration > 0 && duration < kMostTicks ? duration : usual_step_;
  return *last_;
}

}  // namespace afterscope
