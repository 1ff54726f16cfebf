// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/tip_map.hpp"

#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/measure/tip_places.hpp"
#include "metrics/path/tip_density.hpp"

#include <cmath>
#include <iterator>
#include <numbers>
#include <optional>

namespace afterscope {
namespace {

constexpr double kFarthest = 2;  // radii of the limbus: what lies beyond is not on the map
constexpr int kFewDraws = 1;     // no limits are asked for

const TipPlace& Middle(const std::vector<TipPlace>& places, double seconds) {
  double passed = 0;
  for (const TipPlace& place : places)
    if ((passed += place.lasts) >= seconds / 2) return place;
  return places.back();
}

// The eye as it lies on the map's frame.
class LaidOver {
 public:
  LaidOver(const LimbusInPictures& limbus, double seconds) : limbus_(limbus), seconds_(seconds) {}

  std::vector<PointSq> Points(const std::vector<OffsetSq>& in_limbus) const {
    std::vector<PointSq> out;
    for (const OffsetSq p : in_limbus)
      if (const auto at = limbus_.InPicture(p, seconds_)) out.push_back(*at);
    return out;
  }

  std::vector<TipMap::Region> Regions(const std::vector<DensityRegion>& regions) const {
    std::vector<TipMap::Region> out;
    for (const DensityRegion& region : regions) {
      TipMap::Region& laid = out.emplace_back();
      laid.share = region.share;
      for (const std::vector<OffsetSq>& outline : region.outlines) laid.outlines.push_back(Points(outline));
    }
    return out;
  }

 private:
  const LimbusInPictures& limbus_;
  double seconds_;
};

// Neighbours in time stand for all that lies between them.
std::vector<std::vector<OffsetSq>> Ways(const std::vector<TipPlace>& places) {
  std::vector<std::vector<OffsetSq>> out;
  const TipPlace* last = nullptr;
  for (const TipPlace& place : places) {
    if (!last || place.seconds - last->seconds > 1.01 * (place.lasts + last->lasts)) out.emplace_back();
    out.back().push_back(place.in_limbus);
    last = &place;
  }
  return out;
}

std::vector<OffsetSq> UnitCircle() {
  constexpr int kCorners = 90;
  std::vector<OffsetSq> out(kCorners);
  for (int i = 0; i < kCorners; ++i) {
    const double angle = 2 * std::numbers::pi * i / kCorners;
    out[static_cast<std::size_t>(i)] = {std::cos(angle), std::sin(angle)};
  }
  return out;
}

std::optional<TipMap> MapOf(const MeasureContext& context, const Trail& trail, const TipInStep& part) {
  TipMap map;
  map.trail = trail.id;
  map.step = part.step;
  std::vector<TipPlace> shown;
  std::vector<PlaceInTime> places;
  for (const TipPlace& place : part.places) {
    if (!(place.in_limbus.Length() <= kFarthest)) continue;
    map.seconds += place.lasts;
    shown.push_back(place);
    places.push_back({place.in_limbus, place.lasts});
  }
  if (map.seconds < kLeastTipMapSeconds) return std::nullopt;
  const TipPlace& middle = Middle(shown, map.seconds);
  map.at = middle.at;
  const auto regions =
      DensityRegions(places, kTipMapSpread, {std::begin(kTipMapShares), std::end(kTipMapShares)});
  const LimbusInPictures limbus(context, part.recording, middle.seconds, middle.seconds);
  const LaidOver laid(limbus, middle.seconds);
  map.limbus = laid.Points(UnitCircle());
  if (regions.empty() || map.limbus.empty()) return std::nullopt;
  map.regions = laid.Regions(regions);
  for (const std::vector<OffsetSq>& way : Ways(shown)) map.ways.push_back(laid.Points(way));
  return map;
}

}  // namespace

std::vector<TipMap> MapTips(const CaseRecord& record, const Review& review, const Followed& followed) {
  MeasureOptions options;
  options.simulations = kFewDraws;
  const StepList any_step;
  const Followed current = CurrentOf(followed, record, review, nullptr);
  const Review whole = WithFollowed(review, current);
  const MeasureContext context(record, whole, any_step, options, current);
  std::vector<TipMap> out;
  for (const Trail& trail : context.review.trails)
    for (const TipInStep& part : TipInSteps(context, trail))
      if (auto map = MapOf(context, trail, part)) out.push_back(std::move(*map));
  return out;
}

}  // namespace afterscope
