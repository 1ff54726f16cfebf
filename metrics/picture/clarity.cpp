// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/clarity.hpp"

#include "metrics/picture/deinterlace.hpp"
#include "metrics/picture/local_mean.hpp"
#include "metrics/picture/plane_samples.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kDisplayGamma = 2.4;
constexpr float kRim = 4;

double Within(double value, double low, double high, double otherwise) {
  return std::isfinite(value) ? std::clamp(value, low, high) : otherwise;
}

}  // namespace

Clarity WithinRange(const Clarity& clarity) {
  return {clarity.deinterlacing, Within(clarity.exposure_stops, -3, 3, 0),
          Within(clarity.contrast, 0.5, 2, 1), Within(clarity.local_contrast, 0, 2, 0)};
}

bool LeavesColours(const Clarity& clarity) {
  return clarity.exposure_stops == 0 && clarity.contrast == 1 && clarity.local_contrast == 0;
}

bool Deinterlaces(const Clarity& clarity, const Picture& picture) {
  return clarity.deinterlacing == Deinterlacing::kAlways ||
         (clarity.deinterlacing == Deinterlacing::kAsRecorded && picture.fields != FieldOrder::kProgressive);
}

ClarityFactors ClarityFactors::Of(const Clarity& clarity) {
  return {static_cast<float>(std::exp2(clarity.exposure_stops / kDisplayGamma)),
          static_cast<float>(clarity.contrast), static_cast<float>(clarity.local_contrast)};
}

std::array<float, 3> ClarityFactors::Apply(const std::array<float, 3>& rgb, float above_neighbourhood) const {
  const float lift = local * above_neighbourhood / (1 + kRim * std::abs(above_neighbourhood));
  std::array<float, 3> out{};
  for (std::size_t c = 0; c < 3; ++c) out[c] = (gain * (rgb[c] + lift) - 0.5F) * contrast + 0.5F;
  return out;
}

RgbImage ToClearRgb(const Picture& recorded, const Clarity& clarity) {
  if (recorded.empty()) return {};
  const Picture picture = Deinterlaces(clarity, recorded) ? Deinterlaced(recorded) : recorded;
  const ClarityFactors factors = ClarityFactors::Of(clarity);
  const LocalMean mean = factors.local != 0 ? LocalMeanOf(picture) : LocalMean{};
  const YuvToRgb map = YuvToRgbFor(picture);
  const PixelSamples samples(picture);
  RgbImage image{picture.width, picture.height, {}};
  image.pixels.resize(static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height) * 3);
  std::uint8_t* out = image.pixels.data();
  for (int y = 0; y < image.height; ++y)
    for (int x = 0; x < image.width; ++x, out += 3) {
      const std::array<float, 3> yuv = samples.At(x, y);
      const float above = factors.local == 0 ? 0 : map.matrix[0] * (yuv[0] - mean.At(picture, x, y));
      StoreRgb(factors.Apply(map.Apply(yuv), above), out);
    }
  return image;
}

}  // namespace afterscope
