// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/build_shapes.hpp"
#include "annotate/overlay/dial_shapes.hpp"
#include "annotate/overlay/frame_layer.hpp"
#include "annotate/overlay/theme.hpp"
#include "metrics/picture/shown_picture.hpp"
#include "tests/annotate/report/report_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <limits>

using namespace afterscope;

namespace {

ShapeList ShapesAt(const InventedCase& made, double seconds, OverlayOptions options = {}) {
  return BuildShapes(made.record, made.review, InventedFrame(seconds), options);
}

std::vector<PolylineShape> LinesOf(const ShapeList& shapes, Role role) {
  std::vector<PolylineShape> out;
  for (const Shape& shape : shapes)
    if (const auto* line = std::get_if<PolylineShape>(&shape); line && line->role == role)
      out.push_back(*line);
  return out;
}

const TextShape* TextOf(const ShapeList& shapes, const std::string& words) {
  for (const Shape& shape : shapes)
    if (const auto* text = std::get_if<TextShape>(&shape); text && text->text == words) return text;
  return nullptr;
}

}  // namespace

TEST_CASE("Marks are drawn on their own frame only") {
  const InventedCase made = FullCase();
  CHECK(LinesOf(ShapesAt(made, 213.4), Role::kLimbus).size() == 1);
  CHECK(LinesOf(ShapesAt(made, 213.4), Role::kRhexis).front().closed);
  CHECK(LinesOf(ShapesAt(made, 213.44), Role::kLimbus).empty());
}

TEST_CASE("A mark of too few points, or a frame that is not there, draws nothing") {
  InventedCase made = FullCase();
  made.review.marks[0].points.resize(2);
  CHECK(LinesOf(ShapesAt(made, 213.4), Role::kLimbus).empty());
  CHECK(BuildShapes(made.record, made.review, InventedFrame(1, 7), {}).empty());
  CHECK(BuildShapes(made.record, made.review, InventedFrame(1, -1), {}).empty());
}

// ISO 8429 and the clock as seen facing the patient; from a seat at 12 o'clock the picture shows 12 at the
// bottom.
TEST_CASE("From a seat at 12 o'clock, 12 lies at the bottom and a right eye's temporal side at the right") {
  const ShapeList shapes = ShapesAt(FullCase(), 213.4);
  const TextShape* twelve = TextOf(shapes, "12");
  const TextShape* six = TextOf(shapes, "6");
  const TextShape* temporal = TextOf(shapes, "temporal");
  const TextShape* ninety = TextOf(shapes, "90°");
  REQUIRE((twelve && six && temporal && ninety));
  CHECK(twelve->at.y > 240 + 192);
  CHECK(six->at.y < 240 - 192);
  CHECK(temporal->at.x > 320 + 200);
  CHECK(ninety->at.y > twelve->at.y);
}

TEST_CASE("No dial without the surgeon's seat, no sides without an eye") {
  InventedCase made = FullCase();
  made.record.eye = Eye::kUnknown;
  CHECK(TextOf(ShapesAt(made, 213.4), "12"));
  CHECK_FALSE(TextOf(ShapesAt(made, 213.4), "nasal"));
  made.record.seat_clock_hour.reset();
  CHECK_FALSE(TextOf(ShapesAt(made, 213.4), "12"));
}

TEST_CASE("The overlap ring is closed, whatever its states") {
  const ShapeList shapes = ShapesAt(FullCase(), 213.4);
  std::vector<PolylineShape> arcs;
  for (const Role role : {Role::kOverlapped, Role::kBare, Role::kUncertain, Role::kHiddenByIris})
    for (PolylineShape& line : LinesOf(shapes, role)) arcs.push_back(std::move(line));
  REQUIRE(arcs.size() >= 2);
  for (const PolylineShape& arc : arcs)
    CHECK(std::count_if(arcs.begin(), arcs.end(), [&](const PolylineShape& other) {
            return Distance(other.points.front(), arc.points.back()) < 1e-6;
          }) == 1);
}

TEST_CASE("States that lie beside each other differ in line style") {
  const InventedCase made = FullCase();
  const ShapeList shapes = ShapesAt(made, 213.4);
  const auto sure = LinesOf(shapes, Role::kOverlapped);
  const auto unsure = LinesOf(shapes, Role::kUncertain);
  REQUIRE((!sure.empty() && !unsure.empty()));
  CHECK(sure.front().style != unsure.front().style);
}

TEST_CASE("A trail is not drawn across a gap") {
  InventedCase made = FullCase();
  OverlayOptions options;
  options.trail_seconds = -1;
  CHECK(LinesOf(ShapesAt(made, 190, options), Role::kTrail).size() == 1);
  made.review.trails[0].gaps = {{{InventedFrame(190.1), InventedFrame(191.9)}, true}};
  CHECK(LinesOf(ShapesAt(made, 190, options), Role::kTrail).size() == 2);
}

TEST_CASE("An area is tinted between its outlines, not in what they leave out") {
  const auto square = [](double half) {
    return std::vector<PointSq>{
        {50 - half, 50 - half}, {50 + half, 50 - half}, {50 + half, 50 + half}, {50 - half, 50 + half}};
  };
  const ShownPicture shown = ShownPicture::Of(100, 100, {1, 1}, 0);
  const auto painted =
      PaintFrameLayer(100, 100, {AreaShape{Role::kTipMap, {square(40), square(20)}, 0.5, 0.5}},
                      PlacePicture(shown, {0, 0, 100, 100}), {});
  const auto opacity = [&](int x, int y) { return painted.at(static_cast<std::size_t>(y * 100 + x)) >> 24; };
  CHECK(opacity(50, 50) == 0);
  CHECK(opacity(20, 50) == Approx(128).margin(2));
  CHECK(opacity(50, 80) == Approx(128).margin(2));
  CHECK(opacity(3, 3) == 0);
}

TEST_CASE("A picture is placed with its corner half a pixel before its first pixel") {
  const OutFromSq place = PlacePicture(ShownPicture::Of(640, 480, {1, 1}, 0), {100, 50, 320, 240});
  CHECK(place.X({-0.5, -0.5}) == Approx(100));
  CHECK(place.Y({-0.5, -0.5}) == Approx(50));
  CHECK(place.X({639.5, 479.5}) == Approx(420));
  CHECK(place.Y({639.5, 479.5}) == Approx(290));
  CHECK(place.Scale() == Approx(0.5));
}

TEST_CASE("A picture turned by 90 degrees has its left edge at the top") {
  const OutFromSq place = PlacePicture(ShownPicture::Of(640, 480, {1, 1}, 90), {0, 0, 480, 640});
  CHECK(place.X({-0.5, -0.5}) == Approx(480));
  CHECK(place.Y({-0.5, -0.5}) == Approx(0));
  CHECK(place.X({-0.5, 479.5}) == Approx(0));
  CHECK(place.Y({639.5, -0.5}) == Approx(640));
}

TEST_CASE("Mixtures of colours round to the nearest") {
  CHECK(Mixed({0, 0, 0}, {255, 255, 255}, 0) == Rgb{0, 0, 0});
  CHECK(Mixed({0, 0, 0}, {255, 255, 255}, 1) == Rgb{255, 255, 255});
  CHECK(Mixed({10, 20, 30}, {20, 10, 30}, 0.5) == Rgb{15, 15, 30});
}
