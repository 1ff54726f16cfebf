// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"

#include <algorithm>

namespace afterscope {
namespace {

const char* const kPupilMarkMethod =
    "diameter of the circle of the pupil outline's area, in the plane of the front capsule";

struct PupilSize {
  Measured measured;
  Origin origin;
};

PupilSize AddDiameter(const MeasureContext& context, const MarkedOutline& outline, unsigned seed,
                      std::vector<Finding>& out) {
  PupilSize size;
  size.origin.marks = {outline.mark};
  if (!outline.model) {
    size.measured = NotMeasured("mm", kPupilMarkMethod, outline.reason);
    out.push_back(MakeFinding(context, "pupil.diameter", size.measured, size.origin));
    out.push_back(MakeFinding(context, "pupil.diameter.as_seen", size.measured, size.origin));
    return size;
  }
  const DrawnSize drawn{outline.draws.equivalent, 1, outline.mark->at, context.Seed(seed), kPupilMarkMethod};
  size.measured = InPlane(context, drawn, Plane::kCapsule, &size.origin.scale);
  out.push_back(MakeFinding(context, "pupil.diameter", size.measured, size.origin));
  Measured seen = AsSeen(context, drawn, Plane::kCapsule, &size.origin.scale);
  out.push_back(MakeFinding(context, "pupil.diameter.as_seen", std::move(seen), size.origin));
  return size;
}

void AddOffLimbus(const MeasureContext& context, const MarkedOutline& pupil, std::vector<Finding>& out) {
  const char* method = "distance between the centres of the enclosed areas of pupil and limbus";
  Origin origin;
  origin.marks = {pupil.mark};
  const MarkedOutline* limbus = context.OutlineOn(pupil.mark->at, MarkKind::kLimbus);
  Measured measured =
      NotMeasured("mm", method, pupil.model ? "no limbus outline on the frame of the pupil" : pupil.reason);
  if (limbus && pupil.model) {
    origin.marks.push_back(limbus->mark);
    const Offcentre off = MeasureOffcentre(pupil.draws.centre, limbus->draws.centre);
    measured = InPlane(context, off.distance, pupil.mark->at, Plane::kCapsule, method, &origin.scale);
    if (measured.estimate) measured.estimate->low = std::max(0.0, measured.estimate->low);
  }
  out.push_back(MakeFinding(context, "pupil.off_limbus", std::move(measured), origin));
}

void AddExtremes(const MeasureContext& context, const std::vector<PupilSize>& sizes,
                 std::vector<Finding>& out) {
  const PupilSize *least = nullptr, *most = nullptr;
  for (const PupilSize& s : sizes) {
    if (!s.measured.estimate) continue;
    if (!least || s.measured.estimate->value < least->measured.estimate->value) least = &s;
    if (!most || s.measured.estimate->value > most->measured.estimate->value) most = &s;
  }
  const Measured none =
      NotMeasured("mm", kPupilMarkMethod, sizes.empty() ? "no pupil outline is marked" : kNoScaleReason);
  out.push_back(MakeFinding(context, "pupil.diameter_least", least ? least->measured : none,
                            least ? least->origin : Origin{}));
  out.push_back(MakeFinding(context, "pupil.diameter_most", most ? most->measured : none,
                            most ? most->origin : Origin{}));
}

}  // namespace

void MeasurePupil(const MeasureContext& context, std::vector<Finding>& out) {
  std::vector<PupilSize> sizes;
  unsigned seed = 20;
  for (const MarkedOutline& outline : context.outlines) {
    if (outline.mark->kind != MarkKind::kPupil) continue;
    sizes.push_back(AddDiameter(context, outline, seed++, out));
    AddOffLimbus(context, outline, out);
  }
  if (sizes.empty())
    for (const char* name : {"pupil.diameter", "pupil.diameter.as_seen", "pupil.off_limbus"})
      out.push_back(
          MakeFinding(context, name, NotMeasured("mm", kPupilMarkMethod, "no pupil outline is marked"), {}));
  AddExtremes(context, sizes, out);
}

}  // namespace afterscope
