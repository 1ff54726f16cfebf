// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/eye_sights.hpp"

#include <cmath>

namespace afterscope {
namespace {

constexpr double kMostPupilJump = 0.12;  // of a diameter, against both neighbours

double SquareWidth(const RecordingShape& shape) {
  return shape.width * (shape.pixel_aspect.valid() ? shape.pixel_aspect.value() : 1);
}

}  // namespace

std::vector<PupilSeen> PupilSights(const MeasureContext& context, const FollowedEye& eye) {
  std::vector<PupilSeen> seen, out;
  for (const EyeSight& s : eye.sights)
    if (s.eye.pupil.trust >= kLeastTrust && s.eye.limbus.trust >= kLeastTrust)
      seen.push_back({&s, context.clock.Seconds(s.at)});
  const auto alike = [&](std::size_t i, std::size_t j) {
    const auto diameter = [&](std::size_t k) { return seen[k].sight->eye.pupil.ellipse.MeanDiameter(); };
    return std::abs(diameter(j) / diameter(i) - 1) < kMostPupilJump;
  };
  for (std::size_t i = 0; i < seen.size(); ++i)
    if ((i > 0 && alike(i, i - 1)) || (i + 1 < seen.size() && alike(i, i + 1))) out.push_back(seen[i]);
  return out;
}

std::vector<EyeOff> EyesOff(const MeasureContext& context, const FollowedEye& eye) {
  const RecordingShape& shape = context.record.recordings[static_cast<std::size_t>(eye.recording)].shape;
  const PointPx middle{(SquareWidth(shape) - 1) / 2, (shape.height - 1) / 2.0};
  std::vector<EyeOff> out;
  for (const EyeAtFrame& f : eye.frames)
    if (f.pose.trust >= kLeastTrust) out.push_back({f.at, (f.pose.origin - middle) / f.pose.zoom});
  return out;
}

double ReferenceRadius(const FollowedEye& eye) {
  return 0.5 * eye.reference_eye.limbus.ellipse.MeanDiameter();
}

}  // namespace afterscope
