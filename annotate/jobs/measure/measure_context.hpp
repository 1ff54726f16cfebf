// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/jobs/follow/eye_track.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/scale_choice.hpp"
#include "metrics/eye/orientation.hpp"
#include "metrics/rhexis/outline_shape.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// An outline mark with what is drawn from it; `model` empty: nothing can be measured, and `reason` says why.
struct MarkedOutline {
  const Mark* mark = nullptr;
  std::optional<OutlineModel> model;
  ShapeDraws draws;
  std::string reason;
};

// What all measures of one review share; lives as long as what it was made of. `followed`: what holds for
// that review, which is the one with the followed trails in it.
struct MeasureContext {
  MeasureContext(const CaseRecord& record, const Review& review, const StepList& steps,
                 const MeasureOptions& options, const Followed& followed);

  const CaseRecord& record;
  const Review& review;
  const StepList& steps;
  const MeasureOptions& options;
  const Followed& followed;
  CaseClock clock;
  MarkingError error;
  std::string error_said;  // how it was found, for methods; empty: the usual one
  CorneaFacts facts;
  std::vector<ResolvedScale> scales;
  std::vector<MarkedOutline> outlines;  // in the order of the marks
  std::vector<EyeTrack> eyes;           // followed, at most one a recording

  std::vector<PointSq> Points(const Mark& mark) const;
  // The last outline of a kind on that frame that can be measured; null if there is none.
  const MarkedOutline* OutlineOn(FrameRef at, MarkKind kind) const;
  std::optional<EyeOrientation> Orientation(FrameRef at) const;
  // Usual length of a frame in that recording, seconds: of one whose rate varies not that of the frame there.
  double FrameSeconds(FrameRef at) const;
  // The followed eye of a recording, or null.
  const EyeTrack* EyeIn(int recording) const;
  // The best scale at a frame. Where the zoom changes in that recording, it is brought to the zoom at the
  // frame, if the eye was followed there and where the scale was taken; else it counts as outside its
  // stretch. Empty if there is none.
  std::optional<ChosenScale> ScaleAt(FrameRef at, Plane plane) const;
  unsigned Seed(unsigned purpose) const { return options.seed * 7919u + purpose; }
};

// What a finding came from.
struct Origin {
  std::optional<std::string> step;
  std::optional<std::string> operator_code;
  std::vector<const Mark*> marks;
  const Trail* trail = nullptr;
  const ResolvedScale* scale = nullptr;
  const FollowedEye* eye = nullptr;
};
// With frames, ids and the digest filled in.
Finding MakeFinding(const MeasureContext& context, std::string name, Measured measured, const Origin& origin);

// A length (power 1) or area (2) drawn in square pixels, at a frame.
struct DrawnSize {
  std::vector<double> draws;
  int power = 1;
  FrameRef at;
  unsigned seed = 0;
  std::string method;
};
// In millimetres, true in `plane`, or as seen from outside; as seen without a scale: in pixels. `scale` gets
// the scale that was used.
Measured InPlane(const MeasureContext& context, const DrawnSize& size, Plane plane,
                 const ResolvedScale** scale);
Measured AsSeen(const MeasureContext& context, const DrawnSize& size, Plane plane,
                const ResolvedScale** scale);
// An estimate in square pixels, times a length in the plane a pixel, with the scale's error added.
Measured InPlane(const MeasureContext& context, const Estimate& sq, FrameRef at, Plane plane,
                 std::string method, const ResolvedScale** scale);

extern const char* const kNoScaleReason;

// How far the eye is turned about its axis against the meridian of the seat, as a standard deviation: common
// practice, no source. It enters every direction on the dial, and no angle between two of them.
constexpr double kEyeTurnSdDeg = 2;

// The parts of MeasureReview, in this order.
void MeasureTimes(const MeasureContext& context, std::vector<Finding>& out);
void MeasureScales(const MeasureContext& context, std::vector<Finding>& out);
void MeasureRhexis(const MeasureContext& context, std::vector<Finding>& out);
void MeasureRepeatedRhexis(const MeasureContext& context, std::vector<Finding>& out);
void MeasureGrasps(const MeasureContext& context, std::vector<Finding>& out);
void MeasurePupil(const MeasureContext& context, std::vector<Finding>& out);
void MeasureFollowedEye(const MeasureContext& context, std::vector<Finding>& out);
void MeasureIncisions(const MeasureContext& context, std::vector<Finding>& out);
void MeasureTunnels(const MeasureContext& context, std::vector<Finding>& out);
void MeasureTrails(const MeasureContext& context, std::vector<Finding>& out);
void MeasureTipZone(const MeasureContext& context, std::vector<Finding>& out);

}  // namespace afterscope
