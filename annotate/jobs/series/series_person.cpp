// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_person.hpp"

#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"
#include "annotate/jobs/series/person_moments.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_report.hpp"
#include "annotate/store/index/case_snapshot.hpp"
#include "annotate/store/step_list_file.hpp"
#include "metrics/series/proportion.hpp"
#include "metrics/series/quantiles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::size_t kMostWords = 3;

const ReviewSnapshot* ReviewOf(const CaseSnapshot& snapshot, const std::string& id) {
  for (const ReviewSnapshot& review : snapshot.reviews)
    if (review.review.id.value == id) return &review;
  return nullptr;
}

// What became of a goal is said in a later review; it is of the newest goal of which nothing was said yet.
void TakeGoal(const SeriesCase& entry, const Assessment& words, PersonRecord& person) {
  if (words.earlier_goal != GoalOutcome::kNotSaid)
    for (auto goal = person.goals.rbegin(); goal != person.goals.rend(); ++goal)
      if (goal->outcome.empty()) {
        goal->outcome = WordOf(words.earlier_goal);
        break;
      }
  if (!words.drill.empty())
    person.goals.push_back({entry.date, entry.code, words.drill, words.drill_date, ""});
  if (!words.strengths.empty() || !words.change.empty())
    person.words.insert(person.words.begin(), {entry.date, entry.code, words.strengths, words.change});
}

// From the least to the most; nothing where they are one.
std::string RangeText(const Quartiles& quartiles, const char* form, const ReportWords& words) {
  if (quartiles.least == quartiles.most) return {};
  return SeriesText(
      words, "from_to",
      {fmt::format(fmt::runtime(form), quartiles.least), fmt::format(fmt::runtime(form), quartiles.most)});
}

using OutcomeRows = std::vector<std::vector<std::string>>;

// Refraction less target in the cases that have both, and how many came near it. Half a dioptre and one are
// usual (common practice, no source).
void AddRefraction(const std::vector<double>& errors, const ReportWords& words, OutcomeRows& rows) {
  const auto quartiles = QuartilesOf(errors);
  if (!quartiles.ok()) return;
  const int count = static_cast<int>(errors.size());
  rows.push_back({SeriesText(words, "outcomes.refraction_error"), fmt::format("{}", count),
                  fmt::format("{:+.2f}", quartiles->median), RangeText(*quartiles, "{:+.2f}", words)});
  for (const double near : {0.5, 1.0}) {
    const auto within = static_cast<int>(std::count_if(
        errors.begin(), errors.end(), [&](double error) { return std::fabs(error) <= near + 1e-9; }));
    const auto share = WilsonProportion(within, count);
    if (!share.ok()) continue;
    rows.push_back({SeriesText(words, "outcomes.near_target", {fmt::format("{:g}", near)}),
                    SeriesText(words, "of", {fmt::format("{}", within), fmt::format("{}", count)}),
                    FormatShare(share->value),
                    SeriesText(words, "from_to", {FormatShare(share->low), FormatShare(share->high)})});
  }
}

// One row an outcome: of numbers the median and the range.
std::vector<std::string> OutcomeRow(const std::string& name, const std::vector<std::string>& given,
                                    const ReportWords& words) {
  std::vector<double> numbers;
  for (const std::string& text : given)
    if (const auto number = NumberFrom(text)) numbers.push_back(*number);
  const auto quartiles = QuartilesOf(numbers);
  const bool all_numbers = numbers.size() == given.size() && quartiles.ok();
  if (!all_numbers)
    return {name, fmt::format("{}", given.size()),
            given.size() == 1 ? given[0] : SeriesText(words, "outcomes.words"), ""};
  return {name, fmt::format("{}", given.size()), fmt::format("{:.4g}", quartiles->median),
          RangeText(*quartiles, "{:.4g}", words)};
}

std::string NameOfOutcome(const std::string& key, const Result<std::vector<NamedKey>>& known) {
  if (known.ok())
    for (const NamedKey& outcome : *known)
      if (outcome.key == key) return outcome.name;
  return key;
}

OutcomeRows OutcomesOf(const std::vector<IndexCase>& cases, const SeriesModel& model,
                       const ReportWords& words, const std::string& assets, FileSystem& files) {
  std::map<std::string, std::vector<std::string>> texts;
  std::vector<double> errors;
  std::set<std::string_view> folders;
  for (const SeriesCase& entry : model.cases) folders.insert(entry.folder);
  for (const IndexCase& entry : cases) {
    if (!folders.contains(entry.folder)) continue;
    for (const auto& [name, text] : entry.extra)
      if (name.starts_with("outcome.")) texts[name.substr(8)].push_back(text);
    const auto refraction = entry.extra.find("outcome.refraction_d");
    const auto target = entry.extra.find("outcome.target_d");
    if (refraction == entry.extra.end() || target == entry.extra.end()) continue;
    const auto got = NumberFrom(refraction->second);
    const auto wanted = NumberFrom(target->second);
    if (got && wanted) errors.push_back(*got - *wanted);
  }
  OutcomeRows rows;
  const auto known = LoadNamedKeys(assets + "/outcomes.json", "outcomes", files);
  for (const auto& [key, given] : texts) rows.push_back(OutcomeRow(NameOfOutcome(key, known), given, words));
  AddRefraction(errors, words, rows);
  return rows;
}

}  // namespace

Result<PersonRecord> GatherPerson(CaseIndex& index, const SeriesModel& model,
                                  const std::string& assets_folder, const Progress& progress,
                                  const StopQuery& stop, FileSystem& files) {
  PersonRecord person;
  person.code = model.filter.operator_code;
  if (person.code.empty())
    return Error{ErrorCode::kBadCall, "This report is one person's: say whose by --operator CODE."};
  AFTERSCOPE_ASSIGN(person.logbook, LogbookOf(index, model.folder, model.filter));
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(index, model.folder));
  const std::vector<IndexCase>& cases = records.cases;
  AFTERSCOPE_ASSIGN(const ReportWords words, LoadReportWords(assets_folder + "/reports/words.json", files));
  person.outcomes = OutcomesOf(cases, model, words, assets_folder, files);
  std::vector<CountedCase> reviewed;
  for (const SeriesCase& entry : model.cases) {
    std::string problem;
    auto snapshot = ReadCaseSnapshot(entry.folder, problem, files);
    if (!snapshot.ok()) continue;
    if (const ReviewSnapshot* review = ReviewOf(*snapshot, entry.review)) {
      TakeGoal(entry, review->review.assessment, person);
      if (!review->review.moments.empty())
        reviewed.push_back({&entry, std::move(snapshot->record), review->review});
    }
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "The report was stopped."};
  }
  if (person.words.size() > kMostWords) person.words.resize(kMostWords);
  TakeMoments(std::move(reviewed), assets_folder, progress, stop, files, person);
  if (Stopped(stop)) return Error{ErrorCode::kStopped, "The report was stopped."};
  return person;
}

}  // namespace afterscope
