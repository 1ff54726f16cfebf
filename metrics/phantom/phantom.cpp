// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/phantom.hpp"

#include "metrics/phantom/camera.hpp"
#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/draw_pupil.hpp"
#include "metrics/phantom/draw_surface.hpp"
#include "metrics/phantom/draw_tools.hpp"
#include "metrics/phantom/eye_texture.hpp"
#include "metrics/phantom/shaft.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace afterscope::phantom {
namespace {

constexpr double kExposureSeconds = 0.012;

bool Same(const Placement& a, const Placement& b) {
  return a.origin == b.origin && a.px_per_mm == b.px_per_mm && a.turn == b.turn;
}

// out = add + out * pass / 255.
void Veil(const cv::Mat& add, const cv::Mat& pass, cv::Mat& out) {
  const int bytes = 3 * out.cols;
  for (int y = 0; y < out.rows; ++y) {
    const std::uint8_t* a = add.ptr(y);
    const std::uint8_t* p = pass.ptr(y);
    std::uint8_t* o = out.ptr(y);
    for (int i = 0; i < bytes; ++i) {
      const auto product = static_cast<std::uint16_t>(o[i] * p[i] + 128);
      o[i] = static_cast<std::uint8_t>(a[i] + static_cast<std::uint8_t>((product + (product >> 8)) >> 8));
    }
  }
}

}  // namespace

struct Phantom::State {
  Scene scene;
  Script script;
  cv::Size shown;  // square pixels
  Texture eye;
  Texture lids;
  PupilTextures pupil;
  cv::Mat light;
  Noise noise;

  explicit State(Scene s)
      : scene(std::move(s)),
        script(WriteScript(scene)),
        shown(cvRound(scene.width * scene.pixel_aspect.value()), scene.height),
        eye(EyeTexture(scene)),
        lids(LidTexture(scene)),
        pupil(MakePupilTextures(scene)),
        light(LightMap(scene, shown)),
        noise(scene, scene.width * scene.height) {}
};

struct Phantom::Brush::State {
  std::optional<Placement> head;  // that the lids were placed for
  cv::Mat lids;                   // what they add, light included
  cv::Mat pass;                   // how much of the eye passes, light included; 3 channels
  cv::Rect opening;               // outside of it nothing of the eye is seen
};

Phantom::Brush::Brush() : state_(std::make_unique<State>()) {}
Phantom::Brush::~Brush() = default;
Phantom::Brush::Brush(Brush&&) noexcept = default;
Phantom::Brush& Phantom::Brush::operator=(Brush&&) noexcept = default;

Phantom::Phantom(Scene scene) : state_(std::make_unique<State>(std::move(scene))) {}
Phantom::~Phantom() = default;
const Scene& Phantom::scene() const { return state_->scene; }
const Script& Phantom::script() const { return state_->script; }

namespace {

void PlaceLids(const Texture& lids, const Placement& head, const cv::Mat& light, cv::Mat& add, cv::Mat& pass,
               cv::Rect& opening) {
  Patch patch{cv::Mat(light.size(), CV_8UC4), {0, 0}};
  PlaceTexture(lids, head, 1, cv::Scalar(30, 44, 22, 255), patch);
  add.create(light.size(), CV_8UC3);
  pass.create(light.size(), CV_8UC3);
  cv::Mat seen(light.size(), CV_8U);
  for (int y = 0; y < light.rows; ++y) {
    const auto *p = patch.pixels.ptr(y), *g = light.ptr(y);
    auto *added = add.ptr(y), *passing = pass.ptr(y), *through = seen.ptr(y);
    for (int x = 0; x < light.cols; ++x) {
      const unsigned lid = p[4 * x + 3];
      for (int k = 0; k < 3; ++k)
        added[3 * x + k] = static_cast<std::uint8_t>(p[4 * x + k] * lid * g[x] / 65025U);
      through[x] = static_cast<std::uint8_t>((255 - lid) * g[x] / 255);
      for (int k = 0; k < 3; ++k) passing[3 * x + k] = through[x];
    }
  }
  opening = cv::boundingRect(seen);
}

}  // namespace

cv::Mat Phantom::RenderClean(double seconds, Brush& brush) const {
  const State& s = *state_;
  Brush::State& b = *brush.state_;
  const Placement head = HeadPlacement(s.scene, s.script, seconds);
  const Placement eye = EyePlacement(s.scene, s.script, seconds);
  if (!b.head || !Same(*b.head, head)) {
    PlaceLids(s.lids, head, s.light, b.lids, b.pass, b.opening);
    b.head = head;
  }
  cv::Mat picture = cv::Mat::zeros(s.shown, CV_8UC3);
  Patch open{picture(b.opening), b.opening.tl()};
  if (!b.opening.empty()) PlaceTexture(s.eye, eye, 1, cv::Scalar(140, 160, 200), open);
  DrawPupil(s.scene, s.script, s.pupil, eye, seconds, picture);
  DrawWounds(s.scene, s.script, eye, seconds, picture);
  DrawBubblesAndGlints(s.scene, s.script, eye, seconds, picture);
  Veil(b.lids, b.pass, picture);
  DrawTools(s.scene, s.script, eye, seconds, kExposureSeconds, s.light, picture);
  // The optics are never quite sharp: a small blur always, more where the focus is lost.
  const double blur = s.script.blur_px.At(seconds) * s.scene.height / 720.0;
  if (blur > 0.3)
    cv::GaussianBlur(picture, picture, {}, std::hypot(blur, 0.75));
  else
    cv::GaussianBlur(picture, picture, {3, 3}, 0.75);
  return picture;
}

bool Phantom::HiddenByLid(PointPx at, double seconds) const {
  const State& s = *state_;
  const PointMm p = HeadPlacement(s.scene, s.script, seconds).Back(SqOf(s.scene, at));
  const int x = cvRound((p.x + s.lids.half_mm) * s.lids.px_per_mm);
  const int y = cvRound((p.y + s.lids.half_mm) * s.lids.px_per_mm);
  const cv::Mat& lids = s.lids.pixels;
  return x < 0 || y < 0 || x >= lids.cols || y >= lids.rows || lids.at<cv::Vec4b>(y, x)[3] > 127;
}

Picture Phantom::Render(double seconds, Brush& brush) const {
  const State& s = *state_;
  const auto field = [&](double at) {
    cv::Mat bgr = RenderClean(at, brush);
    if (bgr.cols != s.scene.width)
      cv::resize(bgr, bgr, {s.scene.width, s.scene.height}, 0, 0, cv::INTER_LINEAR);
    return DevelopPicture(s.scene, bgr, s.noise.At(at));
  };
  if (!s.scene.interlaced) return field(seconds);
  const Picture top = field(seconds);
  return Woven(top, field(seconds + s.scene.field_seconds));
}

}  // namespace afterscope::phantom
