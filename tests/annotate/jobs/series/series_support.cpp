// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/jobs/series/series_support.hpp"

#include "annotate/jobs/series/update_index.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <filesystem>

namespace afterscope {
namespace {

FrameRef At(double seconds) { return {0, Pts{std::lround(seconds * 10)}}; }

EditGroup EditsOf(const TestCase& entry) {
  EditGroup group{"Test", {}};
  int number = 0;
  for (const SecondsVisit& v : entry.visits)
    group.edits.push_back(Put<StepVisit>{
        {{fmt::format("v{}", ++number)}, v.step, 0, At(v.start), At(v.end), v.operator_code, v.taken_over}});
  for (const std::string& key : entry.complications)
    group.edits.push_back(
        Put<Moment>{{{fmt::format("o{}", ++number)}, At(1), MomentKind::kComplication, key, "", {}}});
  if (entry.is_checked) group.edits.push_back(SetCheck{"rhexis_complete", CheckState::kSeenDone});
  return group;
}

}  // namespace

TestSeries::TestSeries(std::string index)
    : cases_(place_ / "cases"), index_path_(index.empty() ? place_ / "index.sqlite" : std::move(index)) {
  std::filesystem::create_directory(cases_);
  cases_ = *IndexedFolder(cases_);
}

void TestSeries::Add(const TestCase& entry) {
  CaseRecord record;
  record.code = entry.code;
  record.date = entry.date;
  record.operator_code = entry.operator_code;
  record.supervisor_code = "S-1";
  record.difficulty = entry.difficulty;
  record.step_list = "phacoemulsification";
  RecordingRef times;
  times.shape.time_base = {1, 10};
  times.shape.end = {100'000};
  record.recordings.push_back(times);
  const std::string folder = cases_ + "/" + entry.code;
  REQUIRE(CaseSession::Create(folder, record).ok());
  auto session = CaseSession::Open(folder, {});
  REQUIRE(session.ok());
  REQUIRE((*session)->Commit({"Fields", entry.fields}).ok());
  REQUIRE((*session)->Commit(EditsOf(entry)).ok());
}

CaseIndex& TestSeries::Index() {
  if (!index_) {
    auto opened = CaseIndex::Open(index_path_);
    REQUIRE(opened.ok());
    index_ = std::move(*opened);
  }
  REQUIRE(UpdateIndex(*index_, cases_, {}, {}).ok());
  return *index_;
}

Result<SeriesModel> TestSeries::Build(SeriesOptions options) {
  options.assets_folder = places::kAssets;
  if (options.plan.measures.empty())
    options.plan = *LoadSeriesPlan(std::string(places::kAssets) + "/series/usual.json");
  return BuildSeries(Index(), cases_, options);
}

const SeriesMeasure& MeasureOf(const SeriesModel& model, const std::string& step) {
  for (const SeriesMeasure& measure : model.measures)
    if (measure.name == "time.step_total" && measure.step == step) return measure;
  FAIL("no figure of " + step);
  return model.measures.front();
}

// A unit stands after a blank that never parts (U+00A0, two bytes).
bool Says(const SeriesMeasure& measure, const std::string& words) {
  for (const std::string& sentence : measure.said) {
    std::string plain;
    for (const char c : sentence)
      if (c == '\xA0' && !plain.empty() && plain.back() == '\xC2')
        plain.back() = ' ';
      else
        plain += c;
    if (plain.find(words) != std::string::npos) return true;
  }
  return false;
}

std::string DateOf(int number) { return fmt::format("2024-01-{:02}", number); }

}  // namespace afterscope
