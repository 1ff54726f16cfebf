// SPDX-License-Identifier: Apache-2.0
#include "metrics/scale/scale.hpp"

#include "metrics/geometry/outline_model.hpp"
#include "metrics/geometry/polygon.hpp"
#include "metrics/series/descriptive.hpp"

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr int kDraws = 400;
constexpr unsigned kSeed = 1;
constexpr std::size_t kLeastLimbusPoints = 8;

std::optional<Scale> Refuse(std::string* why, const std::string& reason) {
  if (why) *why = reason;
  return std::nullopt;
}

bool Usable(KnownLength length) {
  return length.mm > 0 && std::isfinite(length.mm) && length.sd >= 0 && std::isfinite(length.sd);
}

Scale Uniform(double mm_per_sq, Plane plane, double relative_sd) {
  Scale out;
  out.plane = plane;
  out.mm_from_sq = {{{mm_per_sq, 0}, {0, mm_per_sq}}};
  out.relative_sd = relative_sd;
  return out;
}

double RelativeSd(double size_sq, double size_sd, KnownLength length) {
  return std::hypot(size_sd / size_sq, length.sd / length.mm);
}

// Through the outline's centre along a direction.
double DiameterAlong(const RadialCurve& curve, double angle) {
  const auto n = static_cast<double>(curve.size());
  const auto radius = [&](double a) {
    const double at = a / (2 * std::numbers::pi) * n;
    const double below = std::floor(at);
    const auto i = static_cast<long>(below);
    const auto size = static_cast<long>(curve.size());
    const auto slot = [&](long k) {
      return curve.radii[static_cast<std::size_t>(((k % size) + size) % size)];
    };
    return slot(i) + (at - below) * (slot(i + 1) - slot(i));
  };
  return radius(angle) + radius(angle + std::numbers::pi);
}

template <class Size>
std::optional<Scale> FromOutline(const OutlineModel& model, KnownLength known, Plane plane,
                                 const Size& size_of) {
  std::vector<double> sizes;
  for (const RadialCurve& curve : model.Draw(kDraws, kSeed)) sizes.push_back(size_of(curve));
  const double size = Mean(sizes).value();
  return Uniform(known.mm / size, plane, RelativeSd(size, StandardDeviation(sizes).value(), known));
}

}  // namespace

double Scale::MmPerSq() const {
  return std::sqrt(std::abs(mm_from_sq[0][0] * mm_from_sq[1][1] - mm_from_sq[0][1] * mm_from_sq[1][0]));
}

OffsetMm Scale::MmFromSq(OffsetSq d) const {
  return {mm_from_sq[0][0] * d.x + mm_from_sq[0][1] * d.y, mm_from_sq[1][0] * d.x + mm_from_sq[1][1] * d.y};
}

PointMm Scale::MmFromSq(PointSq p) const { return PointMm{} + MmFromSq(p - PointSq{}); }

std::vector<PointMm> Scale::MmFromSq(const std::vector<PointSq>& points) const {
  std::vector<PointMm> out;
  out.reserve(points.size());
  for (const PointSq& p : points) out.push_back(MmFromSq(p));
  return out;
}

std::optional<Scale> ScaleFromLimbus(const std::vector<PointSq>& marked,
                                     const std::optional<EyeOrientation>& orientation, KnownLength diameter,
                                     const MarkingError& error, std::string* why) {
  if (!Usable(diameter)) return Refuse(why, "the corneal diameter is not a positive length");
  if (marked.size() < kLeastLimbusPoints) return Refuse(why, "the limbus outline has fewer than 8 points");
  const std::optional<OutlineModel> model = OutlineModel::Fit(marked, error, why);
  if (!model) return std::nullopt;
  if (!orientation) {
    auto scale = FromOutline(*model, diameter, Plane::kCornea,
                             [](const RadialCurve& c) { return MeasureFeret(c.Points()).largest; });
    scale->cautions.push_back(
        "the surgeon's seat is not known: the longest diameter of the limbus was taken for the horizontal "
        "one");
    return scale;
  }
  const OffsetSq along = PictureFromDial(*orientation, Angle::Degrees(0));
  const double angle = std::atan2(along.y, along.x);
  return FromOutline(*model, diameter, Plane::kCornea,
                     [angle](const RadialCurve& c) { return DiameterAlong(c, angle); });
}

std::optional<Scale> ScaleFromLength(PointSq a, PointSq b, KnownLength length, Plane plane,
                                     const MarkingError& error, std::string* why) {
  if (!Usable(length)) return Refuse(why, "the known length is not positive");
  const double size = Distance(a, b);
  const double sd = std::sqrt(2 * error.point_sd * error.point_sd + 4 * error.shared_sd * error.shared_sd);
  if (!(size > 0) || !std::isfinite(size)) return Refuse(why, "the two points of the known length coincide");
  if (size < 4 * sd)
    return Refuse(why, "the known length is no longer on the picture than the marking error allows");
  return Uniform(length.mm / size, plane, RelativeSd(size, sd, length));
}

std::optional<Scale> ScaleFromRound(const std::vector<PointSq>& marked, KnownLength diameter, Plane plane,
                                    const MarkingError& error, std::string* why) {
  if (!Usable(diameter)) return Refuse(why, "the known diameter is not a positive length");
  const std::optional<OutlineModel> model = OutlineModel::Fit(marked, error, why);
  if (!model) return std::nullopt;
  return FromOutline(*model, diameter, plane,
                     [](const RadialCurve& c) { return 2 * std::sqrt(c.Area() / std::numbers::pi); });
}

}  // namespace afterscope
