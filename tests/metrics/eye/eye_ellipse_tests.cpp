// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_ellipse.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("An ellipse and its map say the same") {
  const EyeEllipse e{{100, 50}, 40, 30, Angle::Degrees(25)};
  const EyeEllipse back = EllipseOf(MapOf(e));
  CHECK(back.half_long == Approx(40));
  CHECK(back.half_short == Approx(30));
  CHECK(back.angle.degrees() == Approx(25));
  CHECK(e.MeanDiameter() == Approx(2 * std::sqrt(1200.0)));  // equal area: pi a b
}

TEST_CASE("Points of the map lie on the ellipse") {
  const EyeEllipse e{{100, 50}, 40, 30, Angle::Degrees(-70)};
  const EllipseMap map = MapOf(e);
  const double c = std::cos(e.angle.radians()), s = std::sin(e.angle.radians());
  for (double t = 0; t < 6.28; t += 0.3) {
    const OffsetPx d = map.At(std::cos(t), std::sin(t)) - e.center;
    const double u = (c * d.x + s * d.y) / 40, v = (-s * d.x + c * d.y) / 30;
    CHECK(u * u + v * v == Approx(1));  // the ellipse's equation
    CHECK(map.Normalized(e.center + d).Length() == Approx(1));
  }
}

TEST_CASE("Adjusting a map scales, shifts and stretches it") {
  const EllipseMap circle = MapOf({{10, 20}, 8, 8, {}});
  const EyeEllipse bigger = EllipseOf(Adjusted(circle, 0.5, 0, 0.25, 0, 0));
  CHECK(bigger.center == PointPx{14, 20});
  CHECK(bigger.half_short == Approx(10));
  const EyeEllipse oval = EllipseOf(Adjusted(circle, 0, 0, 0, -0.1, 0));
  CHECK(oval.half_long == Approx(8.8));
  CHECK(oval.half_short == Approx(7.2));
  CHECK(std::abs(oval.angle.degrees()) == Approx(90));
}

}  // namespace afterscope
