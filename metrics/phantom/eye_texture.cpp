// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/eye_texture.hpp"

#include "metrics/phantom/random.hpp"
#include "metrics/phantom/turn.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope::phantom {
namespace {

constexpr double kEyeHalfMm = 15.5;

struct IrisLook {
  cv::Vec3f base;    // BGR
  cv::Vec3f streak;  // added along the fibres
  cv::Vec3f fleck;
};

IrisLook LookOf(IrisColour colour) {
  switch (colour) {
    case IrisColour::kBrown:
      return {{48, 78, 112}, {22, 34, 46}, {20, 46, 84}};
    case IrisColour::kBlueGrey:
      return {{132, 150, 140}, {34, 38, 34}, {70, 116, 138}};
    case IrisColour::kGreenHazel:
      return {{84, 150, 158}, {26, 36, 34}, {38, 92, 132}};
  }
  return {};
}

// Fibres run from the pupil to the limbus: noise that is fine across and long along.
class IrisFibres {
 public:
  explicit IrisFibres(std::uint64_t seed)
      : fine_(SmoothNoise({96, 1024}, 3, seed)), coarse_(SmoothNoise({64, 256}, 14, seed + 1)) {
    cv::GaussianBlur(fine_, fine_, {}, 9, 0.8);
    cv::normalize(fine_, fine_, -2.2, 2.2, cv::NORM_MINMAX);
  }
  float Fine(double angle, double share) const { return Look(fine_, angle, share); }
  float Coarse(double angle, double share) const { return Look(coarse_, angle, share); }

 private:
  static float Look(const cv::Mat& noise, double angle, double share) {
    const double turn = angle / (2 * kPi);
    const int y = static_cast<int>((turn - std::floor(turn)) * noise.rows) % noise.rows;
    const int x = std::clamp(static_cast<int>(share * noise.cols), 0, noise.cols - 1);
    return noise.at<float>(y, x);
  }
  cv::Mat fine_;
  cv::Mat coarse_;
};

cv::Vec3f IrisAt(const IrisLook& look, const IrisFibres& fibres, double angle, double share) {
  const float fine = fibres.Fine(angle, share);
  const float fleck = std::clamp(fibres.Coarse(angle, share) - 0.9f, 0.0f, 1.0f) * 0.7f;
  cv::Vec3f colour = look.base + 0.55f * fine * look.streak;
  colour = (1 - fleck) * colour + fleck * look.fleck;
  return colour * static_cast<float>(0.9 + 0.12 * std::sin(share * 9));
}

// A vessel: a walk that wanders, thins out and forks.
void DrawVessel(cv::Mat& depth, cv::Point2d at, double heading, double width, int steps, double step,
                Random& random) {
  constexpr int kBits = 4;
  for (int i = 0; i < steps && width > 0.25; ++i) {
    heading += 0.26 * random.Normal();
    const cv::Point2d next = at + step * cv::Point2d(std::cos(heading), std::sin(heading));
    cv::line(depth, {cvRound(at.x * 16), cvRound(at.y * 16)}, {cvRound(next.x * 16), cvRound(next.y * 16)},
             cv::Scalar(std::min(0.9, 0.22 + 0.36 * width)), std::max(1, cvRound(width)), cv::LINE_AA, kBits);
    at = next;
    width *= 0.97;
    if (random.Uniform() < 0.09) {
      DrawVessel(depth, at, heading + (random.Uniform() < 0.5 ? 0.7 : -0.7), 0.65 * width, steps - i, step,
                 random);
    }
  }
}

// 0 to 1: how red a vessel colours each place.
cv::Mat Vessels(const Scene& scene, int size, double k) {
  Random random = Random(scene.seed).Fork(41);
  cv::Mat depth = cv::Mat::zeros(size, size, CV_32F);
  const double scale = k / 22;
  for (int i = 0; i < 150; ++i) {
    const double angle = random.Between(0, 2 * kPi);
    const double r = random.Between(7.2, 13.5);
    const cv::Point2d at((kEyeHalfMm + r * std::cos(angle)) * k, (kEyeHalfMm + r * std::sin(angle)) * k);
    const double inward = angle + kPi + random.Between(-0.9, 0.9);
    const int steps = random.Below(30) + 10;
    const double width = (0.45 + 1.15 * std::pow(random.Uniform(), 3)) * scale;
    DrawVessel(depth, at, inward, width, steps, 2.8 * scale, random);
  }
  cv::GaussianBlur(depth, depth, {}, 0.6 * scale);
  return depth;
}

}  // namespace

Texture EyeTexture(const Scene& scene) {
  const double k = scene.px_per_mm * 1.05;
  const int size = cvRound(2 * kEyeHalfMm * k) + 1;
  const PolarShape limbus = scene.eye.Limbus();
  const IrisLook look = LookOf(scene.iris);
  const IrisFibres fibres(scene.seed + 100);
  const cv::Mat vessels = Vessels(scene, size, k);
  const cv::Mat blotch = SmoothNoise({size, size}, 3.2 * k, scene.seed + 102);
  const cv::Mat grain = SmoothNoise({size, size}, 0.35 * k, scene.seed + 103);
  Texture texture{cv::Mat(size, size, CV_8UC3), k, kEyeHalfMm};
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      const double px = x / k - kEyeHalfMm;
      const double py = y / k - kEyeHalfMm;
      const double angle = std::atan2(py, px);
      const double r = std::hypot(px, py);
      const double edge = limbus.RadiusAt(angle);
      const double out = std::clamp(0.5 + (r - edge) / scene.eye.limbus_transition_mm, 0.0, 1.0);
      const auto outside = static_cast<float>(out * out * (3 - 2 * out));
      const auto far = static_cast<float>(std::clamp((r - edge - 0.6) / 2.0, 0.0, 1.0));
      // Away from the limbus the globe turns away from the light, and the conjunctiva is redder in places.
      const auto round = static_cast<float>(1 - 0.30 * std::pow(std::max(0.0, r - 7.0) / 8, 2));
      const float pink = std::clamp(0.5f + 0.5f * blotch.at<float>(y, x), 0.0f, 1.6f) * far;
      cv::Vec3f sclera = cv::Vec3f(172, 204, 226) * round + pink * cv::Vec3f(-30, -34, -8) +
                         grain.at<float>(y, x) * cv::Vec3f(4, 4, 3) * far;
      const float red = vessels.at<float>(y, x) * std::min(1.0f, 0.15f + far);
      sclera = (1 - 0.68f * red) * sclera + 0.68f * red * cv::Vec3f(60, 58, 178);
      cv::Vec3f iris = IrisAt(look, fibres, angle, r / edge);
      // Towards the limbus the fibres fade, so that half way between the two colours is the limbus.
      const auto fade = static_cast<float>(std::clamp((r - 0.82 * edge) / (0.12 * edge), 0.0, 1.0));
      iris = (1 - fade) * iris + fade * (0.82f * look.base + cv::Vec3f(16, 12, 8));
      const cv::Vec3f colour = (1 - outside) * iris + outside * sclera;
      texture.pixels.at<Bgr>(y, x) =
          Bgr(cv::saturate_cast<std::uint8_t>(colour[0]), cv::saturate_cast<std::uint8_t>(colour[1]),
              cv::saturate_cast<std::uint8_t>(colour[2]));
    }
  }
  return texture;
}

}  // namespace afterscope::phantom
