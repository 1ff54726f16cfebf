// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/work_line.hpp"

#include "app/desktop/look/widgets.hpp"
#include "app/desktop/scene.hpp"

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

std::string TimeLeftWords(double share, double seconds) {
  if (seconds < kLeastSeconds || share < kLeastShare) return {};
  return Rough(seconds * (1 - share) / share);
}

std::string WorkWords(const JobTicket& work) {
  const double share = work.share();
  if (share <= 0) return work.what() + " …";
  const std::string left = TimeLeftWords(share, work.seconds());
  return fmt::format("{} … {:.0f} %{}{}", work.what(), share * 100, left.empty() ? "" : ", ", left);
}

std::vector<JobHandle> InOrderOfStopping(std::vector<JobHandle> works, const JobHandle& in_sight) {
  if (!in_sight || in_sight->ended()) return works;
  std::erase(works, in_sight);
  works.insert(works.begin(), in_sight);
  return works;
}

bool DrawWork(const Scene& scene, const JobHandle& work) {
  if (!work || work->ended()) return false;
  JobHandle& in_sight = scene.wishes.work_in_sight;
  if (!in_sight) in_sight = work;
  SayQuietly(scene.look, WorkWords(*work));
  ImGui::PushID(work.get());
  if (KeyedButton(scene.look, "Stop", in_sight == work ? scene.keys.KeyFor("stop work") : "")) work->Stop();
  ImGui::PopID();
  return true;
}

}  // namespace afterscope
