// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/chart_view.hpp"
#include "app/desktop/series/series_figures.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

SeriesModel TwoCaseSeries() {
  SeriesModel model;
  SeriesCase entry;
  entry.folder = "/cases/a";
  entry.code = "K1";
  entry.date = "2026-01-02";
  entry.operator_code = "T1";
  entry.eye = "right";
  model.cases.push_back(entry);
  entry.folder = "/cases/b";
  entry.code = "K2";
  entry.eye = "unknown";
  model.cases.push_back(entry);
  SeriesMeasure measure;
  measure.name = "step.total";
  measure.step = "rhexis";
  measure.label = "Rhexis";
  measure.unit = "s";
  measure.points = {{0, 125, 124, 126, false, FrameRef{0, Pts{7}}}, {1, 60, 59, 61, true, {}}};
  measure.said = {"Only 2 cases."};
  model.measures.push_back(measure);
  SeriesCusum cusum;
  cusum.plan.title = "Posterior capsule";
  cusum.sequential.chart.reason = "Nobody said of any case.";
  cusum.cases = {1};
  cusum.outcomes = {Outcome::kFailure};
  model.cusums.push_back(cusum);
  return model;
}

}  // namespace

TEST_CASE("A series offers its figures and its sums", "[series_sheet]") {
  SeriesModel model = TwoCaseSeries();
  model.mix_said = {"routine: 2 cases"};
  const auto figures = FiguresOf(model);
  REQUIRE(figures.size() == 5);  // and complications, case mix and passages in words
  CHECK(figures[0].label == "Rhexis");
  CHECK(figures[0].count == "2");
  CHECK(figures[1].label == "Sum: Posterior capsule");
  CHECK(SentencesOf(figures[0], model) == std::vector<std::string>{"Only 2 cases."});
  CHECK(SentencesOf(figures[1], model) == std::vector<std::string>{"Nobody said of any case."});
  CHECK(figures[3].label == "Case mix");
  CHECK(SentencesOf(figures[3], model) == model.mix_said);
  CHECK(PointCount(figures[3], model) == 0);
  CHECK(SpotOf(figures[3], model, 0).entry == nullptr);
  CHECK(ChartOf(figures[3], model, 300, 120).dots.empty());
}

TEST_CASE("Each form of a sum that could be computed is a figure of its own", "[series_sheet]") {
  SeriesModel model = TwoCaseSeries();
  CusumChart sum;
  sum.points = {{0.7, CusumSignal::kNone, 0}};
  sum.upper = 3;
  model.cusums[0].tabular = {{sum, ""}, "No sign of a change.", "5 % against 10 %"};
  const auto figures = FiguresOf(model);
  REQUIRE(figures.size() == 6);
  CHECK(figures[2].label == "Tabular sum: Posterior capsule");
  CHECK(SentencesOf(figures[2], model) ==
        std::vector<std::string>{"No sign of a change.", "5 % against 10 %"});
  CHECK(ChartOf(figures[2], model, 300, 120).dots.size() == 1);
}

TEST_CASE("A point of the chart leads to its case, at that frame", "[series_sheet]") {
  const SeriesModel model = TwoCaseSeries();
  const auto figures = FiguresOf(model);
  const SeriesSpot first = SpotOf(figures[0], model, 0);
  REQUIRE(first.entry != nullptr);
  CHECK(first.entry->folder == "/cases/a");
  CHECK(first.frame == FrameRef{0, Pts{7}});
  CHECK(first.words == "K1, 2026-01-02, T1, right eye: 2:05.0");
  CHECK(SpotOf(figures[0], model, 1).words.find("others had the instruments") != std::string::npos);
  CHECK(SpotOf(figures[1], model, 0).entry->folder == "/cases/b");
  CHECK(SpotOf(figures[0], model, 2).entry == nullptr);
}

TEST_CASE("The pointer finds the nearest point of a chart within reach", "[series_sheet]") {
  const SeriesModel model = TwoCaseSeries();
  const Chart chart = ChartOf(FiguresOf(model)[0], model, 300, 120);
  const ChartView view{100, 50, 2};
  REQUIRE(chart.dots.size() == 2);
  const ImVec2 second = view.At(chart.dots[1].at);
  CHECK(PointUnder(chart, view, second.x + 3, second.y - 3, 10) == 1);
  CHECK_FALSE(PointUnder(chart, view, second.x + 30, second.y, 10));
  CHECK(ChartOf(FiguresOf(model)[1], model, 300, 120).dots.empty());  // no reason to draw, no nonsense
}

}  // namespace afterscope
