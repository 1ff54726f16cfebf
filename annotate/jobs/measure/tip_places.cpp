// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/tip_places.hpp"

#include "annotate/case/visits.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "metrics/geometry/circle.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// The limbus outline of a recording whose frame is nearest to that time.
const MarkedOutline* NearestLimbus(const MeasureContext& context, int recording, double seconds) {
  const MarkedOutline* nearest = nullptr;
  const auto away = [&](const MarkedOutline& o) {
    return std::abs(context.clock.Seconds(o.mark->at) - seconds);
  };
  for (const MarkedOutline& o : context.outlines)
    if (o.model && o.mark->kind == MarkKind::kLimbus && o.mark->at.recording == recording &&
        (!nearest || away(o) < away(*nearest)))
      nearest = &o;
  return nearest;
}

// Whether the eye was followed anywhere near that stretch.
bool Knows(const EyeTrack& eye, double from, double to) {
  return eye.At(from) || eye.At((from + to) / 2) || eye.At(to);
}

// Round (0, 0); of no size where none fits.
EyeEllipse EllipseOf(const OutlineModel& outline) {
  const auto fit = FitEllipse(outline.Mean().Points());
  return fit ? EyeEllipse{{0, 0}, fit->major, fit->minor, fit->tilt} : EyeEllipse{};
}

}  // namespace

LimbusInPictures::LimbusInPictures(const MeasureContext& context, int recording, double from, double to) {
  EyeEllipse ellipse;
  if (const EyeTrack* eye = context.EyeIn(recording); eye && Knows(*eye, from, to)) {
    followed_ = eye;
    const EyeOutline& found = eye->eye().reference_eye.limbus;
    ellipse = found.ellipse;
    error_ = {found.center_sd, found.diameter_sd / 2};
  } else if (const MarkedOutline* limbus = NearestLimbus(context, recording, (from + to) / 2)) {
    marked_ = MarkedEye::During(context, recording, from, to);
    ellipse = EllipseOf(*limbus->model);
    // In any one direction: of the mean radius, and of the two terms that make an ellipse of the circle.
    const double each =
        context.error.point_sd * std::sqrt(3 / static_cast<double>(limbus->mark->points.size()));
    error_ = {marked_ ? marked_->Error(context.error.point_sd).sd : 0,
              std::hypot(context.error.shared_sd, each)};
  }
  if (!(ellipse.half_short > 0)) {
    followed_ = nullptr;
    marked_.reset();
    return;
  }
  limbus_ = MapOf(ellipse);
  radius_ = ellipse.MeanDiameter() / 2;
  error_ = {error_.centre / radius_, error_.radius / radius_};
}

std::optional<OffsetSq> LimbusInPictures::InLimbus(PointSq p, double seconds) const {
  OffsetPx out;
  if (followed_) {
    const auto in_eye = followed_->InEye(p, seconds);
    if (!in_eye) return std::nullopt;
    out = limbus_.Normalized({in_eye->x, in_eye->y});
  } else if (marked_) {
    const OffsetSq from_centre = p - marked_->At(seconds);
    out = limbus_.Normalized({from_centre.x, from_centre.y});
  } else {
    return std::nullopt;
  }
  return OffsetSq{out.x, out.y};
}

std::optional<PointSq> LimbusInPictures::InPicture(OffsetSq in_limbus, double seconds) const {
  const PointPx in_eye = limbus_.At(in_limbus.x, in_limbus.y);
  if (marked_) return marked_->At(seconds) + OffsetSq{in_eye.x, in_eye.y};
  const auto pose = followed_ ? followed_->At(seconds) : std::nullopt;
  if (!pose) return std::nullopt;
  const PointPx out =
      PictureFromReference(*pose, followed_->eye().reference_eye.limbus.ellipse.center, in_eye);
  return PointSq{out.x, out.y};
}

void LimbusInPictures::NoteIn(TipInStep& part) const {
  if (!(radius_ > 0)) return;
  part.radius = radius_;
  part.error = error_;
  if (followed_) part.eye = &followed_->eye();
  if (!marked_) return;
  for (const Mark* mark : marked_->marks())
    if (std::find(part.marks.begin(), part.marks.end(), mark) == part.marks.end()) part.marks.push_back(mark);
}

std::vector<TipInStep> TipInSteps(const MeasureContext& context, const Trail& trail) {
  std::vector<TipInStep> out;
  const auto part_of = [&](const std::string& step, int recording) -> TipInStep& {
    for (TipInStep& part : out)
      if (part.step == step && part.recording == recording) return part;
    out.push_back({step, recording, {}, 0, 0, {}, {}, nullptr});
    return out.back();
  };
  for (const std::vector<TrailPoint>& run : TrailRuns(context, trail)) {
    const int recording = run.front().at.recording;
    const double aspect = PixelAspectOf(context.record, recording);
    TipStretch samples;
    for (const TrailPoint& p : run) samples.push_back({context.clock.Seconds(p.at), SqFromPx(p.tip, aspect)});
    for (const TipStretch& stretch : SplitAtGaps(samples)) {
      const LimbusInPictures limbus(context, recording, stretch.front().seconds, stretch.back().seconds);
      for (std::size_t i = 0; i < stretch.size(); ++i) {
        const double seconds = stretch[i].seconds;
        const double lasts =
            (stretch[std::min(i + 1, stretch.size() - 1)].seconds - stretch[i > 0 ? i - 1 : 0].seconds) / 2;
        const FrameRef at = context.clock.At(seconds);
        const StepVisit* visit = RunningVisit(context.review, at);
        if (!visit) continue;
        TipInStep& part = part_of(visit->step, recording);
        limbus.NoteIn(part);
        if (const auto place = limbus.InLimbus(stretch[i].at, seconds))
          part.places.push_back({at, seconds, lasts, *place});
        else
          part.eye_unknown += lasts;
      }
    }
  }
  return out;
}

}  // namespace afterscope
