// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/tip_map_walk.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

// Which map comes next: after the one that is seen; else the first of the step at the playhead; else the
// first.
const TipMap& NextMap(const std::vector<TipMap>& maps, const PictureState& picture, const ActionScene& on) {
  const FrameRef at = on.player.playhead();
  const auto seen = std::find_if(maps.begin(), maps.end(), [&](const TipMap& map) {
    return picture.map && picture.map->at == at && map.at == at && map.trail == picture.map->trail &&
           map.step == picture.map->step;
  });
  if (seen != maps.end()) return seen + 1 == maps.end() ? maps.front() : *(seen + 1);
  const StepVisit* visit = RunningVisit(on.scene.view.review, at);
  const auto of_step = std::find_if(maps.begin(), maps.end(),
                                    [&](const TipMap& map) { return visit && map.step == visit->step; });
  return of_step == maps.end() ? maps.front() : *of_step;
}

}  // namespace

bool DoTipMap(const std::string& action, const std::vector<TipMap>& maps, PictureState& picture,
              const ActionScene& on) {
  if (action != "tip map") return false;
  if (maps.empty()) {
    on.say(
        "There is no map yet: it needs a tip seen for a second or longer within a step, and the eye followed "
        "or the "
        "limbus marked before and after.",
        false);
    return true;
  }
  on.Pause();
  const TipMap& map = NextMap(maps, picture, on);
  picture.map = map;
  on.JumpTo(map.at);
  on.say(
      fmt::format("{}: where the tip was in {}. Half of the time within the innermost line, three quarters "
                  "within the next, 95 % within the outermost.",
                  on.scene.steps.NameOf(map.step), FormatLength(map.seconds)),
      false);
  return true;
}

}  // namespace afterscope
