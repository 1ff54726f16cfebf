// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "annotate/case/review.hpp"
#include "tests/support/coverage_tally.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope::coverage {

// A true outline round its own centre, in millimetres: r(t) = R (1 + waves of order 2 to 6).
struct TrueOutline {
  PointMm centre;
  double radius = 1;
  double cosine[7] = {}, sine[7] = {};

  double Radius(double a) const;
  PointMm At(double a) const;
};
// Waves whose size falls with the square of their order.
TrueOutline Wavy(RandomBits& random, PointMm centre, double radius, double waves);
// As the phantoms' hands tear: orders 2 to 5, falling slowly (metrics/phantom, HandMadeRhexis).
TrueOutline HandTorn(RandomBits& random, PointMm centre, double radius, double skill);

struct TrueMeasures {
  double area = 0, largest = 0, smallest = 1e9, circularity = 0;
  double departure = 0;  // largest distance from the least-squares circle
  PointMm centroid;
};
// By sums over 720 directions, independent of the code under test.
TrueMeasures MeasuresOf(const TrueOutline& outline);

// Where the eye's millimetres lie in the picture.
struct View {
  PointPx origin{640, 360};
  double px_per_mm = 50;
};
// What a reviewer marks: every point with an error of its own (1.5 px along each axis), all of an outline
// with a shared one (1 px further out), as the limits take it by default.
Mark MarkOutline(RandomBits& random, const std::string& id, MarkKind kind, FrameRef at,
                 const TrueOutline& outline, const View& view, int count);
// Two ends; read too far out, both move apart.
Mark MarkEnds(RandomBits& random, const std::string& id, FrameRef at, PointMm a, PointMm b, const View& view,
              const std::string& name);

// The first finding of that name that has a value and (if given) that mark first; fails the test if none.
std::optional<Estimate> ValueOf(const std::vector<Finding>& findings, const std::string& name,
                                const std::string& mark = {});

}  // namespace afterscope::coverage
