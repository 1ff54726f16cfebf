// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/angle.hpp"
#include "metrics/eye/find_eye.hpp"

#include <opencv2/core.hpp>

#include <cstddef>
#include <vector>

namespace afterscope {

// Where the eye's frame lies in a picture: point = origin + zoom * turn(reference point - reference origin),
// both origins being the limbus' centre, in the plane of the limbus. turn is from x towards y.
struct EyePose {
  PointPx origin;
  double zoom = 1;  // pixels of this picture for one of the reference picture
  Angle turn;
  std::size_t points = 0;  // places of the eye that agree
  double off_px = 0;       // their root mean square distance from what the pose says
  double trust = 0;        // 0 to 1; below kLeastTrust the pose is that of the last trusted picture
};

struct EyeMotionOptions {
  int working_side = 720;    // pixels of the longer side that is worked on
  std::size_t points = 160;  // places followed
  double inner = 1.08;       // they lie beyond this many pupil radii ...
  double outer = 1.5;        // ... and within this many limbus radii
};

// The eye's motion (shift, turn, zoom of eye and microscope together) against one reference picture, from the
// texture of iris, limbus and sclera: every picture is compared with the reference itself, so that errors do
// not add up. Instruments, lids and glints are what disagrees. One thread at a time.
class EyeMotion {
 public:
  // reference: 8-bit gray or BGR, square pixels; eye: as found or marked on it. With an empty
  // reference no pose is ever trusted.
  EyeMotion(const cv::Mat& reference, const FoundEye& eye, EyeMotionOptions options = {});

  // The next picture of the same size, in order of time; the last pose is where the search begins.
  EyePose Next(const cv::Mat& picture);
  // Starts the next search from that pose, as after a jump.
  void ContinueFrom(const EyePose& pose) { last_ = pose; }
  PointPx reference_origin() const { return reference_origin_; }

 private:
  cv::Matx23d MapOfPose(
      const EyePose& pose) const;  // working pixels of the picture from those of the reference
  bool Improve(const cv::Mat& picture, cv::Matx23d& picture_from_reference, EyePose& pose) const;
  bool Register(const cv::Mat& gray, EyePose& pose) const;

  EyeMotionOptions options_;
  double factor_ = 1;
  PointPx reference_origin_;
  double reference_diameter_ = 0;
  int lost_ = 0;  // pictures since the last trusted one
  cv::Mat reference_;
  std::vector<cv::Mat> pyramid_;
  std::vector<cv::Point2f> points_;
  std::size_t core_ = 0;  // the first of them lie within the limbus
  EyePose last_;
};

// Where `p` of a picture lies on the reference picture, and back.
PointPx ReferenceFromPicture(const EyePose& pose, PointPx reference_origin, PointPx p);
PointPx PictureFromReference(const EyePose& pose, PointPx reference_origin, PointPx p);

struct TimedPose {
  double seconds = 0;
  EyePose pose;
};
// The pose at a time, between the ones before and after it; beyond the first or last, that one. poses: in
// order of time, at least one.
EyePose PoseAt(const std::vector<TimedPose>& poses, double seconds);

// A change of the microscope's zoom: between the two times, from one steady zoom to another.
struct ZoomChange {
  double start_s = 0, end_s = 0;
  double before = 1, after = 1;  // EyePose::zoom
};
struct TimedZoom {
  double seconds = 0;
  double zoom = 1;
};
// Changes by more than `least` (a share) that last; what does not (an eye that moves along the axis, an error
// of a few pictures) is none. Only trusted poses, in order of time. A steady zoom is one that stays within
// least / 3 for half a second.
std::vector<ZoomChange> FindZoomChanges(const std::vector<TimedZoom>& zooms, double least = 0.03);

}  // namespace afterscope
