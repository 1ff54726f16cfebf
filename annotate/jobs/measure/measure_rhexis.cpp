// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"
#include "annotate/jobs/measure/measure_overlap.hpp"
#include "annotate/jobs/measure/rhexis_stage.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

const char* const kOutlineMethod =
    "free edge of the anterior capsule as a smooth closed curve, marking error modelled and its bias removed";

// Adds findings of one outline under its stage's names.
class RhexisFindings {
 public:
  RhexisFindings(const MeasureContext& context, RhexisStage stage, const MarkedOutline* outline,
                 std::vector<Finding>& out)
      : context_(context), stage_(stage), outline_(outline), out_(out) {
    if (outline) origin_.marks = {outline->mark};
  }

  void Size(const char* name, const std::vector<double> ShapeDraws::*draws, int power, unsigned seed) {
    const DrawnSize size{outline_->draws.*draws, power, outline_->mark->at, context_.Seed(seed),
                         kOutlineMethod};
    Origin origin = origin_;
    Measured measured = InPlane(context_, size, stage_.plane, &origin.scale);
    Put(name, std::move(measured), origin);
    measured = AsSeen(context_, size, stage_.plane, &origin.scale);
    Put(fmt::format("{}.as_seen", name), std::move(measured), origin);
  }
  void Ratio(const char* name, const std::vector<double> ShapeDraws::*draws, const char* method) {
    std::optional<Estimate> estimate = EstimateFromDraws(outline_->draws.*draws);
    if (!estimate) return None(name, "1", "it is beyond what can be computed");
    if (estimate->high > 1 - 1e-6) estimate->high = 1;  // a circle can't be excluded
    Put(name, {estimate, "1", method, {}}, origin_);
  }
  void Put(const std::string& name, Measured measured, const Origin& origin) {
    out_.push_back(MakeFinding(context_, stage_.prefix + name, std::move(measured), origin));
  }
  void None(const std::string& name, const char* unit, const std::string& reason) {
    Put(name, NotMeasured(unit, kOutlineMethod, reason), origin_);
  }
  const MeasureContext& context() const { return context_; }
  const MarkedOutline& outline() const { return *outline_; }
  Plane plane() const { return stage_.plane; }
  const Origin& origin() const { return origin_; }

 private:
  const MeasureContext& context_;
  RhexisStage stage_;
  const MarkedOutline* outline_;
  std::vector<Finding>& out_;
  Origin origin_;
};

// Centres of a reference outline on the rhexis' own frame, or carried over from another frame by the limbus
// on both.
struct Reference {
  std::vector<PointSq> centre;
  std::vector<const Mark*> marks;
};

std::optional<Reference> FindReference(const MeasureContext& context, const Mark& rhexis, MarkKind kind) {
  if (const MarkedOutline* same = context.OutlineOn(rhexis.at, kind))
    return Reference{same->draws.centre, {same->mark}};
  const MarkedOutline* limbus = context.OutlineOn(rhexis.at, MarkKind::kLimbus);
  if (!limbus || kind == MarkKind::kLimbus) return std::nullopt;
  for (const MarkedOutline& other : context.outlines) {
    if (other.mark->kind != kind || !other.model || other.mark->at.recording != rhexis.at.recording) continue;
    const MarkedOutline* there = context.OutlineOn(other.mark->at, MarkKind::kLimbus);
    if (!there) continue;
    Reference out{{}, {other.mark, limbus->mark, there->mark}};
    for (std::size_t i = 0; i < other.draws.centre.size(); ++i)
      out.centre.push_back(limbus->draws.centre[i] + (other.draws.centre[i] - there->draws.centre[i]));
    return out;
  }
  return std::nullopt;
}

void AddClock(RhexisFindings& add, const std::string& name, const Offcentre& off, const Origin& origin) {
  const char* method =
      "direction of that offset on the clock face as seen facing the patient; limits may pass 12";
  const auto orientation = add.context().Orientation(origin.marks.front()->at);
  const auto none = [&](const char* reason) {
    add.Put(name, NotMeasured("clock hour", method, reason), origin);
  };
  if (!orientation) return none("the surgeon's seat is not known");
  if (!off.has_direction) return none("the centres can't be told apart, so there is no direction");
  const double hour = ClockHourFromDial(DialFromPicture(*orientation, off.offset));
  const double half =
      std::hypot(off.direction_half_width / std::numbers::pi * 6, kNormal95 * kEyeTurnSdDeg / 30);
  add.Put(name, {Estimate{hour, hour - half, hour + half}, "clock hour", method, {}}, origin);
}

void AddOffcentre(RhexisFindings& add, const char* name, MarkKind kind, const char* what) {
  const auto reference = FindReference(add.context(), *add.outline().mark, kind);
  const std::string clock = fmt::format("{}_clock", name);
  if (!reference) {
    const std::string reason = fmt::format("no {} outline on the frame of the rhexis", what);
    add.None(name, "mm", reason);
    add.None(clock, "clock hour", reason);
    return;
  }
  Origin origin = add.origin();
  origin.marks.insert(origin.marks.end(), reference->marks.begin(), reference->marks.end());
  const Offcentre off = MeasureOffcentre(add.outline().draws.centre, reference->centre);
  const std::string method =
      fmt::format("distance between the centres of the enclosed areas of rhexis and {}", what);
  Measured measured =
      InPlane(add.context(), off.distance, add.outline().mark->at, add.plane(), method, &origin.scale);
  if (measured.estimate && measured.estimate->low < 0) measured.estimate->low = 0;
  if (kind == MarkKind::kLimbus)
    measured.cautions.push_back(
        "the limbus lies in front of the capsule: a tilted view shifts one against the other");
  add.Put(name, std::move(measured), origin);
  AddClock(add, clock, off, origin);
}

void AddPlanDifference(RhexisFindings& add) {
  const CaseRecord& record = add.context().record;
  const bool true_size = record.planned_rhexis_kind == DiameterKind::kTrue;
  if (!record.planned_rhexis_mm) return add.None("plan_difference", "mm", "no diameter was planned");
  const MarkedOutline& o = add.outline();
  const DrawnSize size{o.draws.equivalent, 1, o.mark->at, add.context().Seed(5),
                       fmt::format("equivalent diameter minus the planned {} mm, {}",
                                   *record.planned_rhexis_mm, true_size ? "both true" : "both as seen")};
  Origin origin = add.origin();
  Measured measured = true_size ? InPlane(add.context(), size, add.plane(), &origin.scale)
                                : AsSeen(add.context(), size, add.plane(), &origin.scale);
  if (measured.unit != "mm") return add.None("plan_difference", "mm", kNoScaleReason);
  if (measured.estimate) {
    measured.estimate->value -= *record.planned_rhexis_mm;
    measured.estimate->low -= *record.planned_rhexis_mm;
    measured.estimate->high -= *record.planned_rhexis_mm;
  }
  add.Put("plan_difference", std::move(measured), origin);
}

void AddAll(RhexisFindings& add) {
  add.Size("diameter_largest", &ShapeDraws::largest, 1, 1);
  add.Size("diameter_smallest", &ShapeDraws::smallest, 1, 2);
  AddOffcentre(add, "off_pupil", MarkKind::kPupil, "pupil");
  AddOffcentre(add, "off_limbus", MarkKind::kLimbus, "limbus");
  AddPlanDifference(add);
  add.Size("area", &ShapeDraws::area, 2, 3);
  add.Size("diameter_equivalent", &ShapeDraws::equivalent, 1, 4);
  add.Size("departure_largest", &ShapeDraws::departure, 1, 6);
  add.Ratio("circularity", &ShapeDraws::circularity,
            "4 pi A / P^2, perimeter along the smooth closed curve; a 10 % oval still scores 0.996");
  add.Ratio("axis_ratio", &ShapeDraws::axis_ratio, "smallest by largest diameter");
}

void AddNone(RhexisFindings& add, const std::string& reason) {
  struct Row {
    const char* name;
    const char* unit;
    bool as_seen;
  };
  constexpr std::array kRows{
      Row{"diameter_largest", "mm", true},    Row{"diameter_smallest", "mm", true},
      Row{"off_pupil", "mm", false},          Row{"off_pupil_clock", "clock hour", false},
      Row{"off_limbus", "mm", false},         Row{"off_limbus_clock", "clock hour", false},
      Row{"plan_difference", "mm", false},    Row{"area", "mm2", true},
      Row{"diameter_equivalent", "mm", true}, Row{"departure_largest", "mm", true},
      Row{"circularity", "1", false},         Row{"axis_ratio", "1", false}};
  for (const Row& row : kRows) {
    add.None(row.name, row.unit, reason);
    if (row.as_seen) add.None(fmt::format("{}.as_seen", row.name), row.unit, reason);
  }
}

void AddUnmarked(const MeasureContext& context, RhexisStage stage, const std::string& reason,
                 std::vector<Finding>& out) {
  RhexisFindings none(context, stage, nullptr, out);
  AddNone(none, reason);
  AddNoOverlap(context, stage.prefix, reason, out);
}

// Openings that are no rhexis.
std::string NotApplicable(const Mark& mark) {
  const auto opening = mark.fields.find("opening");
  if (opening == mark.fields.end() || opening->second.empty() || opening->second == "rhexis") return {};
  return fmt::format("not applicable: the capsule was opened by {}", opening->second);
}

}  // namespace

void MeasureRhexis(const MeasureContext& context, std::vector<Finding>& out) {
  bool completion = false, over_optic = false;
  for (const MarkedOutline& outline : context.outlines) {
    if (outline.mark->kind != MarkKind::kRhexis) continue;
    const RhexisStage stage = StageOf(*outline.mark);
    (stage.plane == Plane::kCapsule ? completion : over_optic) = true;
    RhexisFindings add(context, stage, &outline, out);
    if (const std::string reason = NotApplicable(*outline.mark); !reason.empty() || !outline.model)
      AddNone(add, reason.empty() ? outline.reason : reason);
    else
      AddAll(add);
    MeasureOverlap(context, stage.prefix, outline, out);
  }
  if (!completion) AddUnmarked(context, kAtCompletion, "no rhexis outline is marked", out);
  if (!over_optic)
    AddUnmarked(context, kOverOptic, "no rhexis outline of the stage \"over optic\" is marked", out);
}

}  // namespace afterscope
