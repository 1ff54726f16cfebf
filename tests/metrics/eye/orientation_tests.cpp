// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/orientation.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// The clock as seen facing the patient against the dial of ISO 8429 (0 at the observer's right,
// counter-clockwise).
TEST_CASE("Clock hours lie on the dial of ISO 8429", "[eye]") {
  struct Row {
    double hour, degrees;
  };
  const Row row = GENERATE(Row{12, 90}, Row{1, 60}, Row{2, 30}, Row{3, 0}, Row{4, 330}, Row{5, 300},
                           Row{6, 270}, Row{7, 240}, Row{8, 210}, Row{9, 180}, Row{10, 150}, Row{11, 120});
  CHECK(DialFromClockHour(row.hour).degrees() == Approx(row.degrees).margin(1e-9));
  CHECK(ClockHourFromDial(Angle::Degrees(row.degrees)) == Approx(row.hour));
}

TEST_CASE("Opposite clock hours share a meridian", "[eye]") {
  CHECK(MeridianOf(DialFromClockHour(10)).degrees() == Approx(150));
  CHECK(MeridianOf(DialFromClockHour(4)).degrees() == Approx(150));
  CHECK(MeridianDifference(Angle::Degrees(175), Angle::Degrees(5)).degrees() == Approx(10));
  CHECK(DirectionDifference(Angle::Degrees(350), Angle::Degrees(20)).degrees() == Approx(30));
  CHECK(DirectionDifference(DialFromClockHour(12), DialFromClockHour(3)).degrees() == Approx(90));
}

TEST_CASE("The ear is at 9 o'clock of a right eye and 3 o'clock of a left one", "[eye]") {
  CHECK(ClockHourFromDial(TemporalDirection(true)) == Approx(9));
  CHECK(ClockHourFromDial(TemporalDirection(false)) == Approx(3));
}

// The seat's meridian lies at the bottom of an unmirrored picture; what follows is geometry.
TEST_CASE("A temporal seat turns the eye in the picture", "[eye]") {
  const EyeOrientation right{Angle::Degrees(180)};                             // right eye, temporal seat
  CHECK(DialFromPicture(right, {-1, 0}).degrees() == Approx(90));              // superior at screen left
  CHECK(DialFromPicture(right, {0, -1}).degrees() == Approx(0).margin(1e-9));  // nasal at the top
  CHECK(DialFromPicture(right, {0, 1}).degrees() == Approx(180));              // the seat at the bottom
  const EyeOrientation left{Angle::Degrees(0)};                                // left eye, temporal seat
  CHECK(DialFromPicture(left, {1, 0}).degrees() == Approx(90));                // superior at screen right
  const EyeOrientation superior{Angle::Degrees(90)};
  CHECK(DialFromPicture(superior, {1, 0}).degrees() == Approx(180));  // right eye's ear at screen right
}

TEST_CASE("A mirrored or turned recording is undone", "[eye]") {
  EyeOrientation o{Angle::Degrees(90)};
  o.mirrored = true;
  CHECK(DialFromPicture(o, {-1, 0}).degrees() == Approx(180));
  o.mirrored = false;
  o.turned_deg = 90;  // what was at the right is now at the bottom
  CHECK(DialFromPicture(o, {0, 1}).degrees() == Approx(180));
  o.turned_deg = 0;
  o.rotation_deg =
      90;  // to be turned clockwise for display: what is at the top of the file belongs to the right
  CHECK(DialFromPicture(o, {0, -1}).degrees() == Approx(180));
}

TEST_CASE("Picture to dial and back is the same direction", "[eye]") {
  for (const bool mirrored : {false, true})
    for (const int rotation : {0, 90, 180, 270})
      for (double direction = 0; direction < 360; direction += 17) {
        const EyeOrientation o{Angle::Degrees(195), rotation, mirrored, 12.5};
        const OffsetSq d = PictureFromDial(o, Angle::Degrees(direction));
        CHECK(d.Length() == Approx(1));
        CHECK(DirectionDifference(DialFromPicture(o, d), Angle::Degrees(direction)).degrees() < 1e-9);
      }
}

TEST_CASE("Degenerate: no offset has the direction 0", "[eye]") {
  CHECK(DialFromPicture({}, {0, 0}).degrees() == 0);
}

}  // namespace
}  // namespace afterscope
