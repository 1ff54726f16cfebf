// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/work_left.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLeastSeconds = 2;
constexpr double kLeastShare = 0.02;
constexpr double kMostInSeconds = 90;

// No closer than it can be known: to 5 s, to a minute.
std::string Rough(double seconds) {
  if (seconds < kMostInSeconds)
    return fmt::format("about {:.0f} s left", 5 * std::max(1.0, std::round(seconds / 5)));
  return fmt::format("about {:.0f} min left", std::round(seconds / 60));
}

}  // namespace

std::string WorkLeft::Words(const JobHandle& job, double now) {
  if (job_.lock() != job) {
    job_ = job;
    seen_at_ = now;
    share_then_ = job->share();
  }
  const double took = now - seen_at_;
  const double done = job->share() - share_then_;
  if (took < kLeastSeconds || done < kLeastShare) return {};
  return Rough(took / done * (1 - job->share()));
}

}  // namespace afterscope
