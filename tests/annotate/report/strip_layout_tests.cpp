// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/strip_layout.hpp"
#include "tests/annotate/report/report_support.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

using namespace afterscope;

namespace {

constexpr double kWidth = 500;

// Letters of one width are enough to lay out by.
double WidthOf(const std::string& text) { return 4.0 * static_cast<double>(text.size()); }

void CheckReadable(const OperationStrip& strip) {
  const StripLayout layout = LayOutStrip(strip, kWidth, WidthOf);
  std::set<std::string> named;
  for (const StripBox& box : layout.boxes)
    if (!box.inside.empty()) {
      CHECK(WidthOf(box.inside) <= box.width);
      named.insert(box.inside);
    }
  for (const StripLabel& label : layout.labels) {
    CHECK(label.x >= -1e-9);
    CHECK(label.x + label.width <= kWidth + 1e-9);
    CHECK(label.row < (label.above ? layout.rows_above : layout.rows_below));
    for (const StripLabel& other : layout.labels) {
      if (&label == &other || label.above != other.above) continue;
      const bool same_row = label.row == other.row;
      const bool overlap = label.x < other.x + other.width && other.x < label.x + label.width;
      CHECK_FALSE((same_row && overlap));
      // A line to a row farther out does not run through a name on its way.
      if (other.row < label.row)
        CHECK_FALSE((label.line_x > other.x && label.line_x < other.x + other.width));
    }
  }
  std::set<std::string> steps;
  for (const StripVisit& visit : strip.visits) steps.insert(visit.step_name);
  CHECK(named.size() + layout.labels.size() >= steps.size());
}

}  // namespace

TEST_CASE("Names of steps lie over nothing, however many visits there are") {
  for (const int visits : {1, 3, 17, 60, 200}) CheckReadable(ModelOf(ManyVisits(visits)).strip);
  CheckReadable(ModelOf(ThreeSteps()).strip);
  CheckReadable(ModelOf(FullCase()).strip);
}

TEST_CASE("Short steps crowded at one end are all named") {
  for (const bool at_start : {true, false}) {
    OperationStrip strip{0, 1000, {}, {}};
    for (int i = 0; i < 20; ++i) {
      const double at = at_start ? i : 979 + i;
      strip.visits.push_back(
          {"Step number " + std::to_string(i), static_cast<std::size_t>(i), at, at + 1, false});
    }
    strip.visits.push_back({"Other", 20, at_start ? 500.0 : 0.0, at_start ? 1000.0 : 400.0, false});
    CheckReadable(strip);
    CHECK(LayOutStrip(strip, kWidth, WidthOf).labels.size() == 20);
  }
}

TEST_CASE("A strip of no length is laid out") {
  OperationStrip strip{5, 5, {{"Step", 0, 5, 5, false}}, {}};
  const StripLayout layout = LayOutStrip(strip, kWidth, WidthOf);
  CHECK(layout.boxes.size() == 1);
  CHECK(layout.labels.size() == 1);
  CHECK(AxisTimes(strip).empty());
}

TEST_CASE("The axis has few round times") {
  const auto times = AxisTimes({0, 974, {}, {}});
  REQUIRE(times.size() == 9);
  CHECK(times[1] == 120);
  CHECK(AxisTimes({0, 1e7, {}, {}}).size() <= 21);
}
