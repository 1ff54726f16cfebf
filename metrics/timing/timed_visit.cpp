// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/timed_visit.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace afterscope {
namespace {

constexpr double kSameInstant = 1e-9;  // seconds

bool IsHandOver(const TimedVisit& before, const TimedVisit& after) {
  return std::abs(after.seconds.start - before.seconds.end) < kSameInstant &&
         (before.operator_code != after.operator_code || before.taken_over != after.taken_over);
}

}  // namespace

std::vector<JoinedVisit> JoinedVisits(const std::vector<TimedVisit>& parts) {
  std::vector<std::size_t> order(parts.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return parts[a].seconds.start < parts[b].seconds.start;
  });
  std::vector<JoinedVisit> visits;
  std::map<std::string, std::size_t> last;  // visit of each step
  for (const std::size_t i : order) {
    const TimedVisit& part = parts[i];
    const auto before = last.find(part.step);
    if (before != last.end() && IsHandOver(parts[visits[before->second].parts.back()], part)) {
      visits[before->second].parts.push_back(i);
      visits[before->second].seconds.end = part.seconds.end;
      continue;
    }
    last[part.step] = visits.size();
    visits.push_back({part.step, part.seconds, {i}});
  }
  return visits;
}

bool IsOf(const JoinedVisit& visit, const std::vector<TimedVisit>& parts, const std::string& operator_code) {
  return std::any_of(visit.parts.begin(), visit.parts.end(),
                     [&](std::size_t i) { return parts[i].operator_code == operator_code; });
}

}  // namespace afterscope
