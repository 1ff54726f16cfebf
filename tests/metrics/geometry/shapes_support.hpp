// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <functional>
#include <random>
#include <vector>

namespace afterscope::test {

// n points at equal angles of a curve given by its radius at an angle.
std::vector<PointSq> AlongRadius(int n, PointSq centre, const std::function<double(double)>& radius);
std::vector<PointSq> RegularPolygon(int n, double radius, PointSq centre = {});
// x = a cos t, y = b sin t.
std::vector<PointSq> OnEllipse(int n, double a, double b, PointSq centre = {});
// Each point moved by normal numbers along both axes.
std::vector<PointSq> Jittered(std::vector<PointSq> points, double sd, std::mt19937_64& random);

// r(t) = R (1 + sum over k >= 2 of a_k cos kt + b_k sin kt): a shape whose true measures follow by
// integration.
struct WavyCircle {
  PointSq centre;
  double radius = 100;
  std::vector<double> cosines;  // a_2, a_3 ...
  std::vector<double> sines;
  double Radius(double angle) const;
  double Slope(double angle) const;
  PointSq At(double angle) const;
  double TrueArea() const;
  double TruePerimeter() const;
  double TrueCircularity() const;
  PointSq TrueCentroid() const;
};
// Random oval and irregular shape as rhexes are: a_2 of some 3 %, falling with the order up to `order`.
WavyCircle RandomRhexis(std::mt19937_64& random, double radius, int order = 6);

}  // namespace afterscope::test
