// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/tip_map_walk.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

const TipMap& NextTipMap(const std::vector<TipMap>& maps, const std::optional<TipMap>& last,
                         const Review& review, FrameRef at) {
  const auto seen = std::find_if(maps.begin(), maps.end(), [&](const TipMap& map) {
    return last && map.at == at && map.at == last->at && map.trail == last->trail && map.step == last->step;
  });
  if (seen != maps.end()) return seen + 1 == maps.end() ? maps.front() : *(seen + 1);
  const StepVisit* visit = RunningVisit(review, at);
  const auto of_step = std::find_if(maps.begin(), maps.end(),
                                    [&](const TipMap& map) { return visit && map.step == visit->step; });
  return of_step == maps.end() ? maps.front() : *of_step;
}

bool DoTipMap(const std::string& action, const std::vector<TipMap>& maps, PictureState& picture,
              const ActionScene& on) {
  if (action != "tip map") return false;
  if (maps.empty()) {
    on.say(
        "There is no map yet: it needs a tip seen for a second or longer within a step, and the eye followed "
        "or the limbus marked before and after.",
        false);
    return true;
  }
  on.Pause();
  picture.map = NextTipMap(maps, picture.map, on.scene.view.review, on.player.playhead());
  picture.map_revision = on.scene.view.revision;
  const TipMap& map = *picture.map;
  on.JumpTo(map.at);
  on.say(fmt::format("{}: {} of the tip; lines round 50, 75 and 95 % of it.", on.scene.steps.NameOf(map.step),
                     FormatLength(map.seconds)),
         false);
  return true;
}

}  // namespace afterscope
