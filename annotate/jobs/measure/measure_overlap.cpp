// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_overlap.hpp"

#include "metrics/rhexis/overlap.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr int kDirections = 72;
const char* const kOverlapMethod =
    "edge of the optic minus edge of the rhexis, in 72 directions from the optic's centre";

const char* const kHiddenMethod =
    "share of 72 directions from the optic's centre in which both edges lie farther out than the pupil's";

struct OverlapFindings {
  const MeasureContext& context;
  std::string prefix;
  Origin origin;
  std::vector<Finding>& out;

  void Put(const std::string& name, Measured measured) {
    out.push_back(MakeFinding(context, prefix + name, std::move(measured), origin));
  }
  void Length(const std::string& name, const std::optional<Estimate>& sq, const char* reason) {
    if (!sq) return Put(name, NotMeasured("mm", kOverlapMethod, reason));
    Put(name, InPlane(context, *sq, origin.marks.front()->at, Plane::kLens, kOverlapMethod, &origin.scale));
  }
};

void AddShares(const OverlapMap& map, OverlapFindings& add) {
  if (!map.covered_share) {
    for (const char* name : {"overlap_share", "bare_share"})
      add.Put(name, NotMeasured("1", kOverlapMethod, "the iris hides both edges all round"));
  } else {
    const Estimate c = *map.covered_share;
    add.Put("overlap_share", {c, "1", kOverlapMethod, {}});
    add.Put("bare_share", {Estimate{1 - c.value, 1 - c.high, 1 - c.low, c.level}, "1", kOverlapMethod, {}});
  }
  // Of the marks, not of the eye.
  add.Put("uncertain_share", {Estimate::Fact(map.Share(Overlap::kUncertain)), "1", kOverlapMethod, {}});
  if (map.hidden_share)
    add.Put("hidden_share", {*map.hidden_share, "1", kHiddenMethod, {}});
  else
    add.Put("hidden_share", NotMeasured("1", kHiddenMethod, "no pupil is marked on the frame of the rhexis"));
}

void AddClockHours(const OverlapMap& map, OverlapFindings& add) {
  const auto orientation = add.context.Orientation(add.origin.marks.front()->at);
  for (int hour = 1; hour <= 12; ++hour) {
    const std::string name = fmt::format("overlap_clock_{}", hour);
    if (!orientation) {
      add.Length(name, std::nullopt, "the surgeon's seat is not known");
      continue;
    }
    const OffsetSq d = PictureFromDial(*orientation, DialFromClockHour(hour));
    const double turn = std::atan2(d.y, d.x) / (2 * std::numbers::pi) * kDirections;
    const long slot = ((std::lround(turn) % kDirections) + kDirections) % kDirections;
    const OverlapSector& sector = map.sectors[static_cast<std::size_t>(slot)];
    const bool hidden = sector.kind == Overlap::kHiddenByIris;
    add.Length(name, hidden ? std::nullopt : std::optional(sector.margin), "the iris hides both edges there");
  }
}

void AddNone(const std::string& reason, OverlapFindings& add) {
  for (const char* name : {"overlap_least", "overlap_most"}) add.Length(name, std::nullopt, reason.c_str());
  for (const char* name : {"overlap_share", "bare_share", "uncertain_share", "hidden_share"})
    add.Put(name, NotMeasured("1", kOverlapMethod, reason));
  for (int hour = 1; hour <= 12; ++hour)
    add.Length(fmt::format("overlap_clock_{}", hour), std::nullopt, reason.c_str());
}

}  // namespace

void AddNoOverlap(const MeasureContext& context, const std::string& prefix, const std::string& reason,
                  std::vector<Finding>& out) {
  OverlapFindings add{context, prefix, {}, out};
  AddNone(reason, add);
}

void MeasureOverlap(const MeasureContext& context, const std::string& prefix, const MarkedOutline& rhexis,
                    std::vector<Finding>& out) {
  OverlapFindings add{context, prefix, {}, out};
  add.origin.marks = {rhexis.mark};
  const MarkedOutline* lens = context.OutlineOn(rhexis.mark->at, MarkKind::kLensEdge);
  const MarkedOutline* pupil = context.OutlineOn(rhexis.mark->at, MarkKind::kPupil);
  std::string reason = "no lens edge is marked on the frame of the rhexis";
  std::optional<OverlapMap> map;
  if (lens && rhexis.model) {
    add.origin.marks.push_back(lens->mark);
    if (pupil) add.origin.marks.push_back(pupil->mark);
    map = MapOverlap(*rhexis.model, *lens->model, pupil ? &*pupil->model : nullptr, kDirections, &reason);
  }
  if (!map) return AddNone(reason, add);
  add.Length("overlap_least", map->least, "the iris hides both edges all round");
  add.Length("overlap_most", map->most, "the iris hides both edges all round");
  AddShares(*map, add);
  AddClockHours(*map, add);
}

}  // namespace afterscope
