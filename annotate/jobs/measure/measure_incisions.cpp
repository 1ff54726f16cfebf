// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/incision.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

// Published for phacoemulsification: 1.8, 2.2, 2.75, 2.8 and 3.0 mm (for instance Kim et al., Korean Journal
// of Ophthalmology 2014: 2.2 and 2.75). The side port: a blade of 1.0 mm by a teaching page, 1.2 from memory.
const char* const kWidthMethod =
    "distance between the incision's two ends, in the plane of the cornea; for phacoemulsification 1.8 to "
    "3.0 mm are published";
const char* const kSideWidthMethod =
    "distance between the incision's two ends, in the plane of the cornea; side ports are usually 1.0 to 1.2 "
    "mm wide";
const char* const kDirectionMethod =
    "direction of the incision's middle from the centre of the limbus on that frame, dial of ISO 8429; "
    "limits may pass the end of the range";
// A quarter: Boston University's primer on phacoemulsification, which also warns of "oar-locking" at close
// ports; where close begins: common practice, no source.
const char* const kBetweenMethod =
    "between the directions of two incisions from the centre of the limbus; common practice is about 90 "
    "degrees, three clock hours";
constexpr double kCloseDeg = 60;
const char* const kCloseCaution =
    "less than two clock hours apart: instruments in close incisions hinder each other, as oars in one lock";

struct Direction {
  Angle dial;
  double sd = 0;  // radians, by marking
  std::vector<const Mark*> marks;
};

bool IsSidePort(const Mark& mark) { return KindOfIncision(mark) == IncisionKind::kSidePort; }

// A straight line from end to end; of a tunnel the groove's points between them are passed over.
std::vector<PointSq> EndsOf(const MeasureContext& context, const Mark& mark) {
  std::vector<PointSq> points = context.Points(mark);
  if (points.size() > 2) points = {points.front(), points.back()};
  return points;
}

void AddWidth(const MeasureContext& context, const Mark& mark, std::vector<Finding>& out) {
  Origin origin;
  origin.marks = {&mark};
  const std::vector<PointSq> ends = EndsOf(context, mark);
  const char* method = IsSidePort(mark) ? kSideWidthMethod : kWidthMethod;
  Measured measured = NotMeasured("mm", method, "the incision has no two ends apart from each other");
  if (ends.size() == 2 && Distance(ends[0], ends[1]) > 0) {
    const double width = Distance(ends[0], ends[1]);
    // Each end differs on its own; a reading too far out moves both ends.
    const Estimate sq = EstimateNormal(
        width, std::sqrt(2 * std::pow(context.error.point_sd, 2) + 4 * std::pow(context.error.shared_sd, 2)));
    measured = InPlane(context, sq, mark.at, Plane::kCornea, method, &origin.scale);
    if (measured.estimate) measured.estimate->low = std::max(0.0, measured.estimate->low);
  }
  out.push_back(MakeFinding(context, "incision.width", std::move(measured), origin));
}

std::optional<Direction> DirectionOf(const MeasureContext& context, const Mark& mark, std::string& why) {
  const auto orientation = context.Orientation(mark.at);
  const MarkedOutline* limbus = context.OutlineOn(mark.at, MarkKind::kLimbus);
  const std::vector<PointSq> ends = EndsOf(context, mark);
  if (ends.size() != 2) return why = "the incision has no two ends", std::nullopt;
  if (!orientation) return why = "the surgeon's seat is not known", std::nullopt;
  if (!limbus) return why = "no limbus outline on the frame of the incision", std::nullopt;
  const std::vector<PointSq> middle(limbus->draws.centre.size(), Lerp(ends[0], ends[1], 0.5));
  const Offcentre off = MeasureOffcentre(middle, limbus->draws.centre);
  if (!off.has_direction) return why = "the incision lies at the limbus' centre", std::nullopt;
  const double own = context.error.point_sd / std::sqrt(2.0) / off.offset.Length();
  return Direction{DialFromPicture(*orientation, off.offset),
                   std::hypot(own, off.direction_half_width / kNormal95),
                   {&mark, limbus->mark}};
}

void AddDirection(const MeasureContext& context, const Mark& mark, std::vector<Finding>& out) {
  std::string why;
  const auto direction = DirectionOf(context, mark, why);
  Origin origin;
  origin.marks = direction ? direction->marks : std::vector<const Mark*>{&mark};
  Measured axis = NotMeasured("deg", kDirectionMethod, why),
           clock = NotMeasured("clock hour", kDirectionMethod, why);
  if (direction) {
    const double sd_deg = std::hypot(Angle::Radians(direction->sd).degrees(), kEyeTurnSdDeg);
    axis = {EstimateNormal(MeridianOf(direction->dial).degrees(), sd_deg), "deg", kDirectionMethod, {}};
    clock = {
        EstimateNormal(ClockHourFromDial(direction->dial), sd_deg / 30), "clock hour", kDirectionMethod, {}};
  }
  out.push_back(MakeFinding(context, "incision.axis", std::move(axis), origin));
  out.push_back(MakeFinding(context, "incision.clock", std::move(clock), origin));
}

void AddBetween(const MeasureContext& context, const Mark& main, const Mark& side,
                std::vector<Finding>& out) {
  std::string why;
  const auto a = DirectionOf(context, main, why), b = DirectionOf(context, side, why);
  Origin origin;
  origin.marks = {&main, &side};
  Measured measured = NotMeasured("deg", kBetweenMethod, why);
  if (a && b) {
    Estimate e = EstimateNormal(DirectionDifference(a->dial, b->dial).degrees(),
                                Angle::Radians(std::hypot(a->sd, b->sd)).degrees());
    e.low = std::max(0.0, e.low);
    e.high = std::min(180.0, e.high);
    measured = {e, "deg", kBetweenMethod, {}};
    if (e.high < kCloseDeg) measured.cautions.emplace_back(kCloseCaution);
  }
  out.push_back(MakeFinding(context, "incision.angle_between", std::move(measured), origin));
}

}  // namespace

void MeasureIncisions(const MeasureContext& context, std::vector<Finding>& out) {
  std::vector<const Mark*> mains, sides;
  for (const Mark& mark : context.review.marks) {
    if (mark.kind != MarkKind::kIncision) continue;
    (IsSidePort(mark) ? sides : mains).push_back(&mark);
    if (!IsTunnel(mark)) AddWidth(context, mark, out);
    AddDirection(context, mark, out);
  }
  if (mains.empty() && sides.empty())
    for (const char* name : {"incision.width", "incision.axis", "incision.clock"})
      out.push_back(MakeFinding(context, name,
                                NotMeasured(name == std::string("incision.width")  ? "mm"
                                            : name == std::string("incision.axis") ? "deg"
                                                                                   : "clock hour",
                                            kDirectionMethod, "no incision is marked"),
                                {}));
  for (const Mark* main : mains)
    for (const Mark* side : sides) AddBetween(context, *main, *side, out);
  if (mains.empty() || sides.empty())
    out.push_back(MakeFinding(
        context, "incision.angle_between",
        NotMeasured("deg", kBetweenMethod, "main incision and side port are not both marked"), {}));
}

}  // namespace afterscope
