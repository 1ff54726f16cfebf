// SPDX-License-Identifier: Apache-2.0
#include "tests/bench/many_cases.hpp"

#include "annotate/jobs/demo/table_cases.hpp"
#include "annotate/jobs/series/finding_cache.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/checkpoint.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_json.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <random>

namespace afterscope {
namespace {

constexpr const char* kSteps[] = {"side_port",
                                  "viscoelastic",
                                  "main_incision",
                                  "rhexis",
                                  "hydrodissection",
                                  "nucleus_division",
                                  "fragment_removal",
                                  "epinucleus",
                                  "cortex",
                                  "polishing",
                                  "bag_refill",
                                  "lens",
                                  "viscoelastic_removal",
                                  "hydration"};
constexpr int kTrailPoints = 400;
constexpr int kFindings = 60;

void WriteText(const std::string& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

CaseRecord RecordOf(int number, std::mt19937& random) {
  CaseRecord record;
  record.code = fmt::format("N-{:05}", number);
  record.date = DateAfter("2010-01-04", number / 3);
  record.eye = random() % 2 ? Eye::kRight : Eye::kLeft;
  record.operation = "Phacoemulsification with lens (invented)";
  record.step_list = "phacoemulsification";
  record.operator_code = fmt::format("T-{:02}", random() % 20);
  record.supervisor_code = "S-01";
  if (random() % 5 == 0) record.difficulty.push_back("small_pupil");
  RecordingRef times;
  times.shape.time_base = {1, 25};
  times.shape.end = {60'000};
  times.shape.width = 1920;
  times.shape.height = 1080;
  record.recordings.push_back(times);
  return record;
}

Review ReviewOf(std::mt19937& random) {
  std::lognormal_distribution<double> spread(0, 0.3);
  Review review;
  review.id = {"r1"};
  review.reviewer_code = "R-01";
  review.is_signed = true;
  std::int64_t at = 200;
  for (const char* step : kSteps) {
    StepVisit visit;
    visit.id = {fmt::format("v{}", review.visits.size() + 1)};
    visit.step = step;
    visit.start = {0, {at}};
    at += std::lround(1500 * spread(random));
    visit.end = FrameRef{0, {at}};
    at += 50;
    review.visits.push_back(visit);
  }
  if (random() % 25 == 0)
    review.moments.push_back(
        {{"o1"}, {0, {5000}}, MomentKind::kComplication, "posterior_capsule_rupture", "", {}});
  Trail trail;
  trail.id = {"t1"};
  trail.instrument = "capsule forceps";
  trail.hand = "main";
  for (int i = 0; i < kTrailPoints; ++i)
    trail.points.push_back(
        {{0, {3000 + i}}, {900 + i * 0.25, 500 + (i % 40) * 0.5}, TrailSource::kFollowed, 0.9});
  review.trails.push_back(trail);
  return review;
}

// Journal and checkpoint of one document.
void WriteDocument(const std::string& folder, const std::string& name, const Json& whole, const Json& state) {
  const Json begin{{"kind", "begin"},
                   {"format", fmt::format("afterscope {} journal", name)},
                   {"version", std::string(kFormatVersion)},
                   {"state", whole}};
  const JournalLine line = MakeJournalLine(1, 1, "", begin);
  WriteText(folder + "/journal", FileText(line));
  const Checkpoint checkpoint{"afterscope " + name, std::string(kFormatVersion), 1, line.digest};
  WriteText(fmt::format("{}/{}.json", folder, name), CheckpointText(checkpoint, state, Json::object()));
}

// The review's state with the points of its trail in a file beside it.
Json WithPointsApart(const std::string& folder, Json state) {
  Json& trail = state["trails"][0];
  const std::string text = ReadableText(trail["points"]);
  const std::string digest = Sha256Hex(text);
  const std::string file = fmt::format("trails/t1-{}.json", digest.substr(0, 16));
  std::filesystem::create_directories(folder + "/trails");
  WriteText(folder + "/" + file, text);
  trail.erase("points");
  trail["points_file"] = file;
  trail["points_digest"] = digest;
  return state;
}

// As annotate/jobs/series/finding_cache.hpp says.
Json CacheOf(const Review& review, const FindingSource& source, std::mt19937& random) {
  Json findings = Json::array();
  const auto add = [&](const std::string& name, const std::string& step, const std::string& who,
                       double value) {
    findings.push_back(Json::array({name, step, who, value, value * 0.98, value * 1.02, "s", nullptr, 0}));
  };
  for (const StepVisit& visit : review.visits) {
    const double seconds = static_cast<double>(visit.end->pts.ticks - visit.start.pts.ticks) / 25;
    add("time.step_total", visit.step, "", seconds);
    add("time.step_total", visit.step, "OPERATOR", seconds);
    add("time.step_visits", visit.step, "OPERATOR", 1);
  }
  std::normal_distribution<double> size(5.2, 0.2);
  for (int i = static_cast<int>(findings.size()); i < kFindings; ++i)
    add(i == 42 ? "rhexis.diameter_equivalent" : fmt::format("path.figure_{}", i), "", "", size(random));
  return Json{{"measures_version", kMeasuresVersion},
              {"times", source.times},
              {"marks", source.marks},
              {"findings", findings}};
}

void MakeCase(const std::string& folder, int number) {
  std::mt19937 random(static_cast<unsigned>(number));
  const CaseRecord record = RecordOf(number, random);
  const Review review = ReviewOf(random);
  const std::string inner = folder + "/reviews/r1";
  std::filesystem::create_directories(inner);
  std::filesystem::create_directories(folder + "/cache");
  WriteDocument(folder, "case", JsonFrom(record), JsonFrom(record));
  const Json whole = JsonFrom(review);
  WriteDocument(inner, "review", whole, WithPointsApart(inner, whole));
  std::string problem;
  const auto snapshot = ReadCaseSnapshot(folder, problem);
  if (!snapshot.ok()) return;
  const FindingSource source = FindingSourceOf(*snapshot, snapshot->reviews.front());
  std::string cache = ReadableText(CacheOf(review, source, random));
  for (std::size_t at = 0; (at = cache.find("OPERATOR", at)) != std::string::npos;)
    cache.replace(at, 8, record.operator_code);
  WriteText(folder + "/cache/findings-r1.json", cache);
}

}  // namespace

void MakeManyCases(const std::string& folder, int count) {
  std::filesystem::create_directories(folder);
  for (int number = 1; number <= count; ++number) MakeCase(fmt::format("{}/{:05}", folder, number), number);
}

}  // namespace afterscope
