// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/signing.hpp"
#include "annotate/jobs/series/plan_change.hpp"
#include "annotate/jobs/series/series_logbook.hpp"
#include "annotate/jobs/series/series_stretches.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/jobs/series/series_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

// Cases 1, 2, ... with one rhexis of the given seconds each.
void AddRhexisCases(TestSeries& series, const std::vector<double>& seconds) {
  int number = 0;
  for (const double s : seconds) {
    ++number;
    series.Add({fmt::format("c{}", number), DateOf(number), {{"rhexis", 10, 10 + s, "", false}}});
  }
}

}  // namespace

TEST_CASE("An empty folder and a filter that nothing passes are told, not computed", "[series]") {
  TestSeries series;
  CHECK(series.Build().error().code == ErrorCode::kNotComputable);
  AddRhexisCases(series, {60});
  SeriesOptions options;
  options.filter.operator_code = "nobody";
  CHECK(series.Build(options).error().code == ErrorCode::kNotComputable);
  SeriesOptions no_day;
  no_day.by = "date:foo";
  CHECK(series.Build(no_day).error().code == ErrorCode::kBadCall);
}

TEST_CASE("One, two and three cases get words and no curve", "[series]") {
  TestSeries series;
  AddRhexisCases(series, {60, 70, 80});
  for (const int n : {1, 2, 3}) {
    SeriesOptions options;
    options.filter.to = DateOf(n);
    const auto model = series.Build(options);
    REQUIRE(model.ok());
    const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
    CHECK(rhexis.points.size() == static_cast<std::size_t>(n));
    CHECK(Says(rhexis, n == 1 ? "One case" : "too few"));
    CHECK_FALSE(Says(rhexis, "Falls"));
    CHECK_FALSE(Says(rhexis, "Rises"));
    CHECK_FALSE(rhexis.control_chart.value);
    CHECK_FALSE(rhexis.control_chart.reason.empty());
    CHECK_FALSE(rhexis.change.value);
    CHECK(rhexis.learning.value);
    CHECK_FALSE(rhexis.learning.value->curve);
  }
}

TEST_CASE("Equal values, ties and a step that some cases lack", "[series]") {
  TestSeries series;
  AddRhexisCases(series, {60, 60, 60, 60, 60, 60, 60});
  series.Add({"without", "2024-02-01", {{"lens", 10, 40, "", false}}});
  const auto model = series.Build();
  REQUIRE(model.ok());
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  CHECK(rhexis.missing == 1);
  CHECK(Says(rhexis, "All 7 cases have the same value, 1:00.0."));
  CHECK(Says(rhexis, "1 further case does not have it."));
  CHECK_FALSE(rhexis.trend.value);
  CHECK_FALSE(rhexis.control_chart.value);  // no limits without width
  CHECK(rhexis.trend.reason == "All values are equal: nothing changes over the cases.");
  CHECK_FALSE(rhexis.change.value);
  CHECK(MeasureOf(*model, "lens").points.size() == 1);
}

// The trend's data are those of references on Theil-Sen and Mann-Kendall: y = 620 ... 440 over ten cases has
// slope -20 and p = 0.00089 (scipy.stats.theilslopes; normal approximation with ties).
TEST_CASE("The trend of ten cases is the worked example's", "[series]") {
  TestSeries series;
  AddRhexisCases(series, {620, 580, 600, 540, 555, 500, 510, 470, 470, 440});
  const auto model = series.Build();
  REQUIRE(model.ok());
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  CHECK(rhexis.trend.value->slope.value == Approx(-20));
  CHECK(rhexis.direction.value->p == Approx(0.00089151).epsilon(1e-4));
  CHECK(Says(rhexis, "Falls by 3:20.0 in ten cases"));
}

TEST_CASE("Only a person's own visits count, take-overs apart", "[series]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 60, "", false}, {"lens", 60, 100, "", true}}});
  series.Add({"b", "2024-01-02", {{"rhexis", 0, 30, "", false}, {"rhexis", 30, 50, "", true}}});
  series.Add({"c", "2024-01-03", {{"rhexis", 0, 20, "", false}}, "S-1"});
  const auto all = series.Build();
  REQUIRE(all.ok());
  SeriesOptions options;
  options.filter.operator_code = "T-1";
  const auto own = series.Build(options);
  REQUIRE(own.ok());
  CHECK(own->cases.size() == 2);
  CHECK(own->take_overs == 2);
  CHECK(own->taken_over_s == Approx(60));
  const SeriesMeasure& rhexis = MeasureOf(*own, "rhexis");
  REQUIRE(rhexis.points.size() == 2);
  CHECK(rhexis.points[1].value == Approx(30));
  CHECK(rhexis.points[1].shared);
  CHECK(MeasureOf(*own, "lens").points.empty());
  CHECK(MeasureOf(*own, "lens").by_others == 1);
  options.filter.operator_code = "S-1";
  const auto supervisor = series.Build(options);
  REQUIRE(supervisor.ok());
  // The supervisor's hand in the trainee's cases is no case of the supervisor's.
  CHECK(supervisor->cases.size() == 1);
  options.filter.operator_code = "T-1";
  options.whole_steps_only = true;
  CHECK(MeasureOf(*series.Build(options), "rhexis").points.size() == 1);
}

TEST_CASE("A hand-over of the instruments is neither a visit nor a transition", "[series]") {
  TestSeries series;
  const auto add = [&](const char* code, const char* date, double end) {
    series.Add({code,
                date,
                {{"rhexis", 2, 5, "", false},
                 {"rhexis", 5, 7, "", true},
                 {"rhexis", 7, 9, "", false},
                 {"rhexis", 11.5, end, "", false},
                 {"lens", 20, 25, "", true},
                 {"lens", 25, 27, "", false}}});
  };
  add("a", "2024-01-01", 18);
  add("b", "2024-01-02", 18.5);
  SeriesOptions options;
  options.all_findings = true;
  const auto model = series.Build(options);
  REQUIRE(model.ok());
  CHECK(model->take_overs == 4);  // two in each case: in the first visit of the rhexis and in the lens
  CHECK(model->taken_over_s == Approx(14));
  REQUIRE(model->passages.size() == 4);  // into the rhexis, again, on to the lens, out of it
  for (const StepPassage& passage : model->passages) CHECK(passage.count == 2);
  const auto of = [&](const std::string& name, const std::string& step) -> const SeriesMeasure& {
    const auto found = std::find_if(model->measures.begin(), model->measures.end(),
                                    [&](const SeriesMeasure& m) { return m.name == name && m.step == step; });
    REQUIRE(found != model->measures.end());
    return *found;
  };
  CHECK(of("time.step_visits", "rhexis").points.at(0).value == 2);
  CHECK(of("time.step_visits", "lens").points.at(0).value == 1);
  CHECK(of("time.step_total", "rhexis").points.at(0).value == Approx(11.5));
  // Only a step's total leaves the supervisor's part out; the whole holds it, and a share is no time.
  CHECK(Says(of("time.step_total", "rhexis"), "not of the whole"));
  CHECK(of("time.whole", "").shared == 2);
  CHECK_FALSE(Says(of("time.whole", ""), "not of the whole"));
  CHECK(of("time.operator_share", "").points.size() == 2);
  CHECK_FALSE(Says(of("time.operator_share", ""), "not of the whole"));
}

TEST_CASE("Groups are compared with limits, and within the same difficulty", "[series]") {
  TestSeries series;
  int number = 0;
  for (const double s : {50.0, 52.0, 54.0, 56.0, 58.0, 60.0}) {
    ++number;
    series.Add({fmt::format("a{}", number), DateOf(number), {{"rhexis", 0, s, "", false}}, "A"});
    series.Add({fmt::format("b{}", number), DateOf(number), {{"rhexis", 0, s + 30, "", false}}, "B"});
  }
  SeriesOptions options;
  options.by = "operator";
  options.reference = "B";
  const auto model = series.Build(options);
  REQUIRE(model.ok());
  CHECK(model->groups == std::vector<std::string>{"B", "A"});
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  REQUIRE(rhexis.comparisons.size() == 1);
  CHECK(rhexis.comparisons[0].difference.value->difference.value == Approx(-30));
  // Two groups of six without overlap: exact p = 2 / C(12, 6) = 2 / 924.
  CHECK(rhexis.comparisons[0].test.value->p == Approx(2.0 / 924));
  CHECK(rhexis.comparisons[0].adjusted.value->difference.value == Approx(-30));
  CHECK(Says(rhexis, "A against B: −30.0 s ("));
  CHECK_FALSE(Says(rhexis, "Within the same difficulty"));  // all are of one
  // A learning curve and cumulative sums are one person's.
  CHECK_FALSE(rhexis.learning.value);
  CHECK_FALSE(model->cusums[0].sequential.chart.value);
}

TEST_CASE("Cases without a date say nothing over time", "[series]") {
  TestSeries series;
  AddRhexisCases(series, {100, 90, 80, 70, 60, 50, 40, 30});
  series.Add({"undated", "", {{"rhexis", 0, 60, "", false}}});
  const auto model = series.Build();
  REQUIRE(model.ok());
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  CHECK(rhexis.points.size() == 9);
  CHECK(rhexis.quartiles.value);
  CHECK_FALSE(rhexis.trend.value);
  CHECK_FALSE(rhexis.learning.value);
  CHECK_FALSE(model->cautions.empty());
  SeriesOptions options;
  options.filter.from = "2024-01-01";
  CHECK(MeasureOf(*series.Build(options), "rhexis").trend.value);
}

TEST_CASE("Filters choose by date, difficulty and complication", "[series]") {
  TestSeries series;
  TestCase hard{"hard", "2024-01-01", {{"rhexis", 0, 60, "", false}}};
  hard.difficulty = {"small_pupil"};
  hard.complications = {"iris_trauma"};
  series.Add(hard);
  AddRhexisCases(series, {60, 70, 80});
  const auto count = [&](auto set) {
    SeriesOptions options;
    set(options.filter);
    const auto model = series.Build(options);
    return model.ok() ? model->cases.size() : 0;
  };
  CHECK(count([](SeriesFilter& f) { f.difficulty = "any"; }) == 1);
  CHECK(count([](SeriesFilter& f) { f.difficulty = "none"; }) == 3);
  CHECK(count([](SeriesFilter& f) { f.difficulty = "small_pupil"; }) == 1);
  CHECK(count([](SeriesFilter& f) { f.complication = "iris_trauma"; }) == 1);
  CHECK(count([](SeriesFilter& f) { f.complication = "none"; }) == 0);  // of the others it is not known
  CHECK(count([](SeriesFilter& f) { f.from = "2024-01-02"; }) == 2);
  CHECK(count([](SeriesFilter& f) { f.eye = "right"; }) == 0);
}

namespace {

// A further review of a case with one rhexis from its beginning.
void AddReview(const TestSeries& series, const char* code, OpenCaseOptions open, int seconds,
               bool is_signed = false) {
  const auto session = CaseSession::Open(series.folder() + "/" + code, open);
  REQUIRE(session.ok());
  REQUIRE((*session)
              ->Commit({"Test",
                        {Put<StepVisit>{
                            {{"v1"}, "rhexis", 0, {0, Pts{0}}, FrameRef{0, Pts{10 * seconds}}, "", false}}}})
              .ok());
  if (is_signed) REQUIRE((*session)->Sign(open.reviewer_code).ok());
}

OpenCaseOptions By(const char* id, const char* reviewer, ReviewKind kind, bool is_self = false) {
  OpenCaseOptions open;
  open.review = ReviewId{id};
  open.reviewer_code = reviewer;
  open.new_review = {kind, is_self, Blinding::kOpen};
  return open;
}

bool SaysOf(const std::vector<std::string>& cautions, const std::string& words) {
  return std::any_of(cautions.begin(), cautions.end(),
                     [&](const std::string& said) { return said.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("A series is of one kind of review, never of the operator's own view", "[series]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 3, "", false}}});
  AddReview(series, "a", By("r2", "T-1", ReviewKind::kFormative, true), 10, true);
  AddReview(series, "a", By("r3", "m1", ReviewKind::kFormal), 7, true);
  series.Add({"b", "2024-01-02", {{"rhexis", 0, 4, "", false}}});
  AddReview(series, "b", By("r2", "m1", ReviewKind::kFormal), 8);
  const auto seconds = [](const Result<SeriesModel>& model) {
    REQUIRE(model.ok());
    std::vector<double> values;
    for (const SeriesPoint& point : MeasureOf(*model, "rhexis").points) values.push_back(point.value);
    return values;
  };
  CHECK(seconds(series.Build()) == std::vector<double>{3, 4});
  CHECK_FALSE(SaysOf(series.Build()->cautions, "review counts"));
  SeriesOptions formal;
  formal.filter.kind = "formal";
  CHECK(seconds(series.Build(formal)) == std::vector<double>{7});
  CHECK(SaysOf(series.Build(formal)->cautions, "Of 1 case no formal review counts"));
  SeriesOptions own;
  own.filter.reviewer_code = "T-1";
  const auto none = series.Build(own);
  REQUIRE_FALSE(none.ok());
  CHECK(none.error().message.find("Of 1 case no formative review counts") != std::string::npos);
  // The newest signed version stands, whatever was begun since.
  const std::string path = series.folder() + "/b";
  {
    const auto session = CaseSession::Open(path, By("r1", "", ReviewKind::kFormative));
    REQUIRE((*session)->Sign("m1").ok());
    REQUIRE((*session)->BeginNextVersion().ok());
  }
  CHECK(series.Build()->cases[1].review == "r1");
}

TEST_CASE("A case that was handed over does not count beside the one it was made from", "[series]") {
  TestSeries series;
  series.Add({"a", "2024-01-01", {{"rhexis", 0, 3, "", false}}});
  std::string origin;
  {
    const auto session = CaseSession::Open(series.folder() + "/a", {});
    REQUIRE((*session)->Sign("m1").ok());
    origin = OriginOf((*session)->record().signed_reviews.at(0));
  }
  TestCase copy{"a-copy", "2024-01-01", {{"rhexis", 0, 3, "", false}}};
  copy.fields = {SetCaseField{"extra.handed_over", origin}};
  series.Add(copy);
  TestCase other = copy;
  other.code = "of-elsewhere";
  other.fields = {SetCaseField{"extra.handed_over", "r1 0000"}};
  series.Add(other);
  const auto model = series.Build();
  REQUIRE(model.ok());
  REQUIRE(model->cases.size() == 2);
  CHECK(model->cases[0].code == "a");
  CHECK(model->cases[1].code == "of-elsewhere");
  CHECK(model->cases[1].number == 2);
  CHECK(SaysOf(model->cautions, "1 case was handed over"));
  SeriesFilter filter;
  filter.operator_code = "T-1";
  CHECK(LogbookOf(series.Index(), series.folder(), filter)->size() == 2);
}

TEST_CASE("A falling series does not claim one level, and says its share and what follows", "[series]") {
  TestSeries series;
  for (int number = 1; number <= 20; ++number)
    series.Add({fmt::format("c{}", number),
                DateOf(number),
                {{"rhexis", 10, 110.0 - 4 * number + number % 3, "", false}, {"lens", 200, 230, "", false}}});
  const auto model = series.Build();
  REQUIRE(model.ok());
  const SeriesMeasure& rhexis = MeasureOf(*model, "rhexis");
  CHECK(Says(rhexis, "Falls by"));
  CHECK_FALSE(Says(rhexis, "vary about one level"));
  CHECK(Says(rhexis, "of the operator’s own step time"));
  CHECK(Says(rhexis, "The latest case, 22.0 s, stands at percentile 0 of the other cases (0 to"));
  CHECK(Says(rhexis, "If it changed at one point rather than steadily"));
  CHECK(Says(rhexis, "Mostly followed by Lens (100 % of the times, median gap"));
  const SeriesMeasure& lens = MeasureOf(*model, "lens");
  CHECK(Says(lens, "All 20 cases have the same value, 30.0 s."));
  CHECK_FALSE(Says(lens, "trend"));
}

TEST_CASE("A check of a review's list is found where its step is, with its state", "[series]") {
  TestSeries series;
  series.Add({"seen",
              "2024-01-01",
              {{"rhexis", 10, 70, "", false}, {"lens", 80, 90, "", false}},
              "T-1",
              {},
              {},
              {},
              true});
  series.Add({"no_rhexis", "2024-01-02", {{"lens", 80, 90, "", false}}, "T-1", {}, {}, {}, true});
  series.Add({"silent", "2024-01-03", {{"rhexis", 10, 70, "", false}}});
  const auto find = [&](const StretchQuery& query) {
    const auto found = FindStretches(series.Index(), series.folder(), {}, query, places::kAssets);
    REQUIRE(found.ok());
    return *found;
  };
  StretchQuery query;
  query.check = "rhexis_complete";
  const auto found = find(query);
  REQUIRE(found.size() == 2);
  CHECK(found[0].code == "seen");
  CHECK(found[0].words == "seen done");
  CHECK(found[0].start_s == Approx(10));
  CHECK(found[0].end_s == Approx(70));
  // Where its step is not tagged, the whole of what is.
  CHECK(found[1].code == "no_rhexis");
  CHECK(found[1].start_s == Approx(80));
  query.words = "not done";
  CHECK(find(query).empty());
  query.words = "";
  query.step = "lens";  // not where it is seen
  CHECK(find(query).empty());
  query.step = "rhexis";
  CHECK(find(query).size() == 1);
}

}  // namespace afterscope
