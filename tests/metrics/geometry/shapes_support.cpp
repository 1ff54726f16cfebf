// SPDX-License-Identifier: Apache-2.0
#include "tests/metrics/geometry/shapes_support.hpp"

#include <cmath>
#include <numbers>

namespace afterscope::test {
namespace {

constexpr int kSteps = 4096;

// Mean over a turn times 2 pi.
template <class F>
double Integrate(const F& f) {
  double sum = 0;
  for (int i = 0; i < kSteps; ++i) sum += f(2 * std::numbers::pi * i / kSteps);
  return sum * 2 * std::numbers::pi / kSteps;
}

}  // namespace

std::vector<PointSq> AlongRadius(int n, PointSq centre, const std::function<double(double)>& radius) {
  std::vector<PointSq> out;
  for (int i = 0; i < n; ++i) {
    const double a = 2 * std::numbers::pi * i / n;
    out.push_back(centre + radius(a) * OffsetSq{std::cos(a), std::sin(a)});
  }
  return out;
}

std::vector<PointSq> RegularPolygon(int n, double radius, PointSq centre) {
  return AlongRadius(n, centre, [radius](double) { return radius; });
}

std::vector<PointSq> OnEllipse(int n, double a, double b, PointSq centre) {
  std::vector<PointSq> out;
  for (int i = 0; i < n; ++i) {
    const double t = 2 * std::numbers::pi * i / n;
    out.push_back(centre + OffsetSq{a * std::cos(t), b * std::sin(t)});
  }
  return out;
}

std::vector<PointSq> Jittered(std::vector<PointSq> points, double sd, std::mt19937_64& random) {
  std::normal_distribution<double> normal(0, sd);
  for (PointSq& p : points) {
    const double dx = normal(random), dy = normal(random);
    p = p + OffsetSq{dx, dy};
  }
  return points;
}

double WavyCircle::Radius(double angle) const {
  double sum = 1;
  for (std::size_t i = 0; i < cosines.size(); ++i) {
    const double k = static_cast<double>(i) + 2;
    sum += cosines[i] * std::cos(k * angle) + sines[i] * std::sin(k * angle);
  }
  return radius * sum;
}

double WavyCircle::Slope(double angle) const {
  double sum = 0;
  for (std::size_t i = 0; i < cosines.size(); ++i) {
    const double k = static_cast<double>(i) + 2;
    sum += k * (sines[i] * std::cos(k * angle) - cosines[i] * std::sin(k * angle));
  }
  return radius * sum;
}

PointSq WavyCircle::At(double angle) const {
  return centre + Radius(angle) * OffsetSq{std::cos(angle), std::sin(angle)};
}

double WavyCircle::TrueArea() const {
  return Integrate([&](double a) { return Radius(a) * Radius(a) / 2; });
}

double WavyCircle::TruePerimeter() const {
  return Integrate([&](double a) { return std::hypot(Radius(a), Slope(a)); });
}

double WavyCircle::TrueCircularity() const {
  const double p = TruePerimeter();
  return 4 * std::numbers::pi * TrueArea() / (p * p);
}

PointSq WavyCircle::TrueCentroid() const {
  const double x = Integrate([&](double a) { return std::pow(Radius(a), 3) * std::cos(a); });
  const double y = Integrate([&](double a) { return std::pow(Radius(a), 3) * std::sin(a); });
  return centre + OffsetSq{x, y} / (3 * TrueArea());
}

WavyCircle RandomRhexis(std::mt19937_64& random, double radius, int order) {
  std::normal_distribution<double> normal;
  WavyCircle out;
  out.radius = radius;
  for (int k = 2; k <= order; ++k) {
    const double sd = 0.12 / (k * k);
    out.cosines.push_back(sd * normal(random));
    out.sines.push_back(sd * normal(random));
  }
  return out;
}

}  // namespace afterscope::test
