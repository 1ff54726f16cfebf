// SPDX-License-Identifier: Apache-2.0
#include "tests/bench/follow/follow_clip.hpp"

#include "metrics/picture/mat_view.hpp"
#include "metrics/scale/scale.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

namespace afterscope::testing {
namespace {

phantom::Scene SceneOf(const ClipPlan& plan) {
  phantom::Scene scene = phantom::RandomScene(plan.seed, plan.difficulty);
  scene.seconds = 150;  // so that an instrument stays for many seconds
  scene.width = cvRound(plan.enlarged * scene.width), scene.height = cvRound(plan.enlarged * scene.height);
  scene.px_per_mm *= plan.enlarged;
  return scene;
}

phantom::ToolUse PickUse(const phantom::Script& script, const ClipPlan& plan) {
  std::vector<phantom::ToolUse> uses;
  for (const phantom::ToolUse& use : script.tools)
    if (plan.forceps ? use.tool == phantom::Tool::kForceps : use.leave_s - use.enter_s > 5)
      uses.push_back(use);
  return uses.at(plan.seed / 3 % uses.size());
}

FollowClip::Truth TruthOf(const FollowClip& clip, double seconds) {
  const phantom::InstantTruth all = clip.phantom->Truth(seconds);
  const phantom::Scene& scene = clip.phantom->scene();
  FollowClip::Truth out;
  for (const phantom::ToolTruth& tool : all.tools) {
    if (tool.tool == clip.use.tool && tool.main_hand == clip.use.main_hand)
      out.shaft = {tool.tip, tool.shaft};
    else
      out.others.push_back({tool.tip, tool.shaft});
  }
  out.visible = cv::Rect(3, 3, scene.width - 7, scene.height - 7)
                    .contains({cvRound(out.shaft.tip.x), cvRound(out.shaft.tip.y)});
  out.blur_px = all.blur_px;
  out.speed_mm_s = clip.use.path.VelocityAt(seconds).Length();
  out.eye = all.eye;
  return out;
}

// The eye's motion through the clip, as the program finds it.
class EyeWatch {
 public:
  EyeWatch(const Picture& first, FollowClip& clip) : clip_(clip) {
    const auto found = FindEye(HalfBgrOf(first), std::nullopt);
    FoundEye eye;
    if (found.ok()) {
      eye = Enlarged(*found, 2);
      motion_.emplace(LightnessOf(first), eye);
    } else {
      const double size = clip.plan.enlarged;
      eye.limbus.ellipse = {{first.width / 2.0, first.height / 2.0}, 130 * size, 120 * size, {}};
    }
    clip.px_per_mm = 2 * eye.limbus.ellipse.half_long / kPopulationCornealDiameter.mm,
    clip.eye = eye.limbus.ellipse.center;
  }
  void Take(double seconds, const cv::Mat& lightness) {
    const EyePose pose = motion_ ? motion_->Next(lightness) : EyePose();
    clip_.eye_seen.push_back(pose.trust >= kLeastTrust);
    if (clip_.eye_seen.back()) trusted_.push_back({seconds, pose});
  }
  // Once all were taken.
  void Finish() {
    if (trusted_.empty()) {
      EyePose still;
      still.origin = clip_.eye;
      trusted_.push_back({0, still});
    }
    for (const double t : clip_.seconds) clip_.poses.push_back(PoseAt(trusted_, t));
  }

 private:
  FollowClip& clip_;
  std::optional<EyeMotion> motion_;
  std::vector<TimedPose> trusted_;
};

}  // namespace

FollowClip ClipTruth(const ClipPlan& plan) {
  FollowClip clip;
  clip.plan = plan;
  phantom::Scene scene = SceneOf(plan);
  clip.phantom = std::make_shared<phantom::Phantom>(scene);
  clip.use = PickUse(clip.phantom->script(), plan);
  if (plan.restless) {
    const double lasts = std::min(clip.use.leave_s - clip.use.enter_s,
                                  static_cast<double>(plan.most_frames) / plan.frames_per_second);
    scene.disturbance.eye_motion_mm = 2;
    scene.disturbance.zoom_change = 0.4;
    scene.disturbance.zoom_change_s = clip.use.enter_s + 0.6 * lasts;
    clip.phantom = std::make_shared<phantom::Phantom>(scene);
    clip.use = PickUse(clip.phantom->script(), plan);
  }
  clip.true_px_per_mm = scene.px_per_mm;
  for (double t = clip.use.enter_s + 0.1;
       t < clip.use.leave_s - 0.1 && clip.seconds.size() < plan.most_frames;
       t += 1 / plan.frames_per_second) {
    clip.seconds.push_back(t);
    clip.truth.push_back(TruthOf(clip, t));
  }
  return clip;
}

namespace {

template <class T>
void Write(std::ofstream& file, const T& value) {
  file.write(reinterpret_cast<const char*>(&value), sizeof value);
}
template <class T>
void Read(std::ifstream& file, T& value) {
  file.read(reinterpret_cast<char*>(&value), sizeof value);
}

void Save(const FollowClip& clip, const std::string& path) {
  std::ofstream file(path, std::ios::binary);
  Write(file, clip.px_per_mm), Write(file, clip.eye);
  for (std::size_t i = 0; i < clip.poses.size(); ++i) {
    Write(file, clip.poses[i]);
    Write(file, static_cast<bool>(clip.eye_seen[i]));
  }
  for (const cv::Mat& picture : clip.pictures)
    file.write(picture.ptr<char>(), static_cast<std::streamsize>(picture.total()));
}

bool Load(const std::string& path, FollowClip& clip) {
  std::ifstream file(path, std::ios::binary);
  Read(file, clip.px_per_mm), Read(file, clip.eye);
  clip.poses.resize(clip.seconds.size());
  for (EyePose& pose : clip.poses) {
    bool seen = false;
    Read(file, pose), Read(file, seen);
    clip.eye_seen.push_back(seen);
  }
  for (std::size_t i = 0; i < clip.seconds.size() && file; ++i) {
    clip.pictures.emplace_back(clip.phantom->scene().height, clip.phantom->scene().width, CV_8UC1);
    file.read(clip.pictures.back().ptr<char>(), static_cast<std::streamsize>(clip.pictures.back().total()));
  }
  return static_cast<bool>(file);
}

}  // namespace

FollowClip KeptClip(const ClipPlan& plan, const std::string& folder) {
  const std::string path =
      fmt::format("{}/{}-{}-{}-{}-{}-{}.clip", folder, plan.seed, static_cast<int>(plan.difficulty),
                  plan.most_frames, plan.enlarged, plan.restless, plan.forceps);
  if (FollowClip kept = ClipTruth(plan); Load(path, kept)) return kept;
  FollowClip clip = RenderClip(plan);
  Save(clip, path);
  return clip;
}

FollowClip RenderClip(const ClipPlan& plan) {
  FollowClip clip = ClipTruth(plan);
  phantom::Phantom::Brush brush;
  std::optional<EyeWatch> eye;
  for (const double t : clip.seconds) {
    const Picture picture = clip.phantom->Render(t, brush);
    if (!eye) eye.emplace(picture, clip);
    clip.pictures.push_back(LightnessOf(picture).clone());
    eye->Take(t, clip.pictures.back());
  }
  if (eye) eye->Finish();
  return clip;
}

}  // namespace afterscope::testing
