// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/followed_digest.hpp"

#include "annotate/media/digest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace afterscope {
namespace {

// Raised when a method changes what it finds in the same pictures.
constexpr int kEyeMethod = 4, kTrailMethod = 9;

std::string RecordingText(const CaseRecord& record, int recording) {
  const auto i = static_cast<std::size_t>(recording);
  if (recording < 0 || i >= record.recordings.size()) return "none";
  const RecordingRef& ref = record.recordings[i];
  return fmt::format("{} {} {}/{}", ref.fingerprint.sampled_sha256, ref.fingerprint.size,
                     ref.shape.pixel_aspect.num, ref.shape.pixel_aspect.den);
}

bool Within(const FollowedTrail& followed, FrameRef at) {
  return at.recording == followed.recording && followed.range.Contains(at.pts);
}

}  // namespace

std::string HandPlace(const TrailPoint& point) {
  const std::string tip = fmt::format("{} {}", point.tip.x, point.tip.y);
  return point.shaft ? fmt::format("{} shaft {} {}", tip, point.shaft->x, point.shaft->y) : tip;
}

std::string EyeDigest(const CaseRecord& record, const FollowedEye& eye) {
  const EyeEllipse& e = eye.reference_eye.limbus.ellipse;
  return Sha256Hex(fmt::format("eye {} {} {} {:.2f} {:.2f} {:.2f} {:.2f}", kEyeMethod,
                               RecordingText(record, eye.recording), eye.reference.ticks, e.center.x,
                               e.center.y, e.half_long, e.half_short));
}

std::string TrailDigest(const CaseRecord& record, const Trail& trail, const FollowedTrail& followed,
                        const FollowedEye* eye) {
  std::string text =
      fmt::format("trail {} {} {} {} {}\n", kTrailMethod, RecordingText(record, followed.recording),
                  followed.range.start.ticks, followed.range.end.ticks, eye ? eye->input_digest : "no eye");
  for (const TrailPoint& p : HandPoints(trail))
    if (Within(followed, p.at))
      fmt::format_to(std::back_inserter(text), "{} {}\n", p.at.pts.ticks, HandPlace(p));
  for (const TrailGap& gap : trail.gaps)
    if (gap.range.start.recording == followed.recording || gap.range.end.recording == followed.recording)
      fmt::format_to(std::back_inserter(text), "gap {} {} {} {}\n", gap.range.start.recording,
                     gap.range.start.pts.ticks, gap.range.end.recording, gap.range.end.pts.ticks);
  return Sha256Hex(text);
}

const FollowedEye* EyeOf(const Followed& followed, int recording) {
  const auto eye = std::find_if(followed.eyes.begin(), followed.eyes.end(),
                                [&](const FollowedEye& e) { return e.recording == recording; });
  return eye == followed.eyes.end() ? nullptr : &*eye;
}

Followed CurrentOf(const Followed& followed, const CaseRecord& record, const Review& review,
                   std::vector<std::string>* outdated) {
  Followed out;
  const auto say = [&](std::string sentence) {
    if (outdated) outdated->push_back(std::move(sentence));
  };
  for (const FollowedEye& eye : followed.eyes) {
    if (eye.input_digest == EyeDigest(record, eye))
      out.eyes.push_back(eye);
    else
      say(fmt::format("The eye was followed on another recording {}, or by an earlier version: follow again.",
                      eye.recording + 1));
  }
  for (const FollowedTrail& f : followed.trails) {
    const auto trail = std::find_if(review.trails.begin(), review.trails.end(),
                                    [&](const Trail& t) { return t.id == f.trail; });
    if (trail == review.trails.end()) continue;
    if (f.input_digest == TrailDigest(record, *trail, f, EyeOf(out, f.recording)))
      out.trails.push_back(f);
    else
      say(
          fmt::format("Trail '{}' has changed since it was followed, or was followed by an earlier version: "
                      "follow it again.",
                      f.trail.value));
  }
  return out;
}

}  // namespace afterscope
