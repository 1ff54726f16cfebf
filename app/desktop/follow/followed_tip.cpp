// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/follow/followed_tip.hpp"

#include "annotate/overlay/theme.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/palette.hpp"
#include "app/desktop/look/plate.hpp"

#include <fmt/format.h>
#include <imgui.h>

#include <algorithm>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kTailSeconds = 1;
constexpr float kRing = 7;  // its radius at 100 %

// Where things of one picture lie on the screen.
struct OnScreen {
  ShownPicture shown;
  ScreenFromShown placed;

  ImVec2 operator()(PointPx p) const {
    const auto spot = shown.FromPx(p);
    return {static_cast<float>(placed.X(spot)), static_cast<float>(placed.Y(spot))};
  }
};

void Ring(const Scene& scene, ImDrawList* list, ImVec2 at, bool believed) {
  const Look& look = scene.look;
  const float radius = look.Px(kRing);
  const auto pi = std::numbers::pi_v<float>;
  for (const bool casing : {true, false}) {
    const ImU32 ink =
        casing ? Ink(okabe_ito::kBlack, 0.7) : Ink(believed ? okabe_ito::kYellow : okabe_ito::kOrange);
    const float width = look.Px(casing ? 4.0F : 2.0F);
    if (believed) {
      list->AddCircle(at, radius, ink, 0, width);
      continue;
    }
    for (int arc = 0; arc < 4; ++arc) {
      const float from = 0.5F * pi * static_cast<float>(arc) + 0.25F;
      list->PathArcTo(at, radius, from, from + 0.5F * pi - 0.5F);
      list->PathStroke(ink, 0, width);
    }
  }
  if (believed) return;
  const ImVec2 beside{at.x + radius + look.Px(3), at.y - radius - look.Px(12)};
  look.script->Draw(list, look.fonts.body, {beside.x + 1, beside.y + 1}, Ink(okabe_ito::kBlack), "?");
  look.script->Draw(list, look.fonts.body, beside, Ink(okabe_ito::kOrange), "?");
}

// The way to tip `last`, as far as it is believed without a gap.
void Tail(const Scene& scene, ImDrawList* list, const FollowedTrail& trail, std::size_t last,
          const OnScreen& place) {
  std::vector<ImVec2> way;
  for (std::size_t i = last + 1; i-- > 0;) {
    const FollowedTip& tip = trail.tips[i];
    const bool long_ago = scene.Seconds(trail.tips[last].at) - scene.Seconds(tip.at) > kTailSeconds;
    if (!tip.tip || tip.confidence < trail.least_confidence || long_ago) break;
    way.push_back(place(*tip.tip));
  }
  const int count = static_cast<int>(way.size());
  list->AddPolyline(way.data(), count, Ink(okabe_ito::kBlack, 0.6), 0, scene.look.Px(3.5F));
  list->AddPolyline(way.data(), count, Ink(okabe_ito::kYellow), 0, scene.look.Px(1.5F));
}

}  // namespace

void DrawLiveTip(const LiveTip& live, const Scene& scene, const PictureView& view, const ScreenRect& area) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ShownPicture shown = ShownPicture::Of(live.picture);
  const OnScreen place{shown, view.Placed(shown, area)};
  if (live.tip) Ring(scene, list, place(*live.tip), true);
  PaintPlate(scene.look, list, area,
             fmt::format("Following the tip at {}  –  {} stops",
                         ClockText(scene.Seconds(live.picture.frame), 1), scene.keys.KeyFor("follow tip")));
}

void DrawFollowedTip(const Followed& followed, const Scene& scene, const PictureView& view,
                     const ScreenRect& area) {
  if (!scene.player.exact()) return;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ShownPicture shown = ShownPicture::Of(scene.player.shown());
  const OnScreen place{shown, view.Placed(shown, area)};
  const FrameRef here = scene.player.playhead();
  for (const FollowedTrail& trail : followed.trails) {
    const auto tip = std::lower_bound(trail.tips.begin(), trail.tips.end(), here,
                                      [](const FollowedTip& t, FrameRef at) { return t.at < at; });
    if (tip == trail.tips.end() || tip->at != here || !tip->tip) continue;
    Tail(scene, list, trail, static_cast<std::size_t>(tip - trail.tips.begin()), place);
    Ring(scene, list, place(*tip->tip), tip->by_hand || tip->confidence >= trail.least_confidence);
  }
}

}  // namespace afterscope
