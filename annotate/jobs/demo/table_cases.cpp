// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/table_cases.hpp"

#include "annotate/store/case_session.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <memory>
#include <utility>
#include <variant>

namespace afterscope {
namespace {

bool Skipped(const DemoTables& tables, int number) {
  return std::find(tables.skip_numbers.begin(), tables.skip_numbers.end(), number) !=
         tables.skip_numbers.end();
}

// Steps one after another, in frames.
EditGroup StepsOf(const DemoTables& tables, int number, phantom::Random& random, std::int64_t& end) {
  EditGroup group{"Steps from the table", {}};
  const double day = 0.5 * tables.spread * random.Normal();  // some days all is slower
  std::int64_t at = std::llround(tables.lead_s * tables.rate.value());
  int visit = 0;
  for (const DemoTableStep& step : tables.steps) {
    const double seconds =
        step.first_s * std::pow(number, step.exponent) * std::exp(day + tables.spread * random.Normal());
    const auto frames = std::max<std::int64_t>(1, std::llround(seconds * tables.rate.value()));
    StepVisit tagged;
    tagged.id = {fmt::format("visit-{}", ++visit)};
    tagged.step = step.key;
    tagged.start = {0, {at}};
    tagged.end = FrameRef{0, {at + frames}};
    group.edits.push_back(Put<StepVisit>{tagged});
    at += frames + std::llround(tables.gap_s * random.Between(0.3, 1.7) * tables.rate.value());
  }
  end = at + std::llround(tables.lead_s * tables.rate.value());
  return group;
}

// How difficult the eye was, its risk, and whether it came to the complication.
void InventCourse(const DemoTables& tables, phantom::Random random, TimesOnlyCase& made) {
  CaseRecord& record = made.record;
  const bool difficult = !tables.difficulties.empty() && random.Uniform() < tables.difficult_share;
  if (difficult)
    record.difficulty.push_back(tables.difficulties[static_cast<std::size_t>(
        random.Below(static_cast<int>(tables.difficulties.size())))]);
  const double risk = difficult ? tables.difficult_risk : tables.risk;
  if (!(risk > 0)) return;
  record.extra["risk"] = fmt::format("{:g}", risk);
  const bool happened = random.Uniform() < risk;
  made.moments.label = "Note what happened";
  if (!happened) {
    record.extra["complications"] = "none";
    return;
  }
  for (const Edit& edit : made.steps.edits)
    if (const auto* visit = std::get_if<Put<StepVisit>>(&edit);
        visit && visit->item.step == tables.complication_step)
      made.moments.edits.push_back(Put<Moment>{
          {{"moment-1"}, visit->item.start, MomentKind::kComplication, tables.complication, "", {}}});
}

// Refraction about its target, first-day pressure, acuity.
void InventOutcomes(phantom::Random random, CaseRecord& record) {
  const double target = random.Uniform() < 0.7 ? -0.25 : -2.0;
  record.extra["outcome.target_d"] = fmt::format("{:.2f}", target);
  record.extra["outcome.refraction_d"] =
      fmt::format("{:.2f}", std::round(4 * (target + 0.45 * random.Normal())) / 4);
  record.extra["outcome.day1_pressure_mmhg"] = fmt::format("{:.0f}", 16 + 3.5 * random.Normal());
  record.extra["outcome.acuity_logmar"] = fmt::format("{:.1f}", std::max(0.0, 0.08 + 0.1 * random.Normal()));
}

// Rises with the cases from the lower half of each item's scale to the upper.
std::map<std::string, double> InventScores(double progress, phantom::Random random, const ScoreSheet& sheet) {
  std::map<std::string, double> scores;
  for (const ScoreItem& item : sheet.items) {
    const auto most = static_cast<double>(item.levels.size() - 1);
    const double place = most * (0.25 + 0.6 * progress) + 0.6 * random.Normal();
    scores[item.key] = item.levels[static_cast<std::size_t>(std::lround(std::clamp(place, 0.0, most)))].value;
  }
  return scores;
}

// What a second reviewer makes of the same operation.
void InventSecond(phantom::Random random, const ScoreSheet& sheet, TimesOnlyCase& made) {
  made.second_steps = made.steps;
  for (Edit& edit : made.second_steps.edits)
    if (auto* visit = std::get_if<Put<StepVisit>>(&edit))
      visit->item.start.pts.ticks += std::min<std::int64_t>(
          random.Below(20), (visit->item.end->pts.ticks - visit->item.start.pts.ticks) / 4);
  made.second_scores = made.scores;
  for (auto& [key, value] : made.second_scores)
    if (random.Uniform() < 0.25) value = std::max(sheet.Find(key)->Least(), value - 1);
}

TimesOnlyCase CaseOf(const DemoTables& tables, const CaseRecord& like, int number, int place) {
  phantom::Random random =
      phantom::Random(static_cast<std::uint64_t>(tables.seed)).Fork(static_cast<std::uint64_t>(number));
  TimesOnlyCase made;
  CaseRecord& record = made.record;
  std::string code = tables.operator_code;
  code.erase(std::remove(code.begin(), code.end(), '-'), code.end());
  record.code = fmt::format("{}-{:03}", code, number);
  record.date = DateAfter(tables.first_date, place * tables.days_between);
  record.eye = random.Uniform() < 0.5 ? Eye::kRight : Eye::kLeft;
  record.operation = "Phacoemulsification with lens (invented: a table of times)";
  record.step_list = like.step_list;
  record.operator_code = tables.operator_code;
  record.operator_role = "trainee";
  record.supervisor_code = tables.supervisor_code;
  record.extra = {{"invented", "yes"}, {"case_number", std::to_string(number)}, {"about", tables.about}};
  RecordingRef times;
  times.shape.time_base = {tables.rate.den, tables.rate.num};
  times.shape.frame = {1};
  std::int64_t end = 0;
  made.steps = StepsOf(tables, number, random, end);
  times.shape.end = {end};
  record.recordings.push_back(times);
  return made;
}

}  // namespace

std::string DateAfter(const std::string& date, int days) {
  using namespace std::chrono;
  int y = 0;
  unsigned m = 0;
  unsigned d = 0;
  if (std::sscanf(date.c_str(), "%d-%u-%u", &y, &m, &d) != 3) return date;
  const year_month_day start{year{y}, month{m}, day{d}};
  if (!start.ok()) return date;
  const year_month_day then{sys_days{start} + std::chrono::days{days}};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(then.year()), static_cast<unsigned>(then.month()),
                     static_cast<unsigned>(then.day()));
}

std::vector<TimesOnlyCase> InventTables(const DemoTables& tables, const CaseRecord& like,
                                        const ScoreSheet& sheet) {
  std::vector<TimesOnlyCase> cases;
  for (int number = 1; static_cast<int>(cases.size()) < tables.count; ++number) {
    if (Skipped(tables, number)) continue;
    TimesOnlyCase made = CaseOf(tables, like, number, number - 1);
    // Streams of their own: what is invented here leaves the times as they are.
    const phantom::Random random = phantom::Random(static_cast<std::uint64_t>(tables.seed))
                                       .Fork(1000 + static_cast<std::uint64_t>(number));
    const int left = tables.count - static_cast<int>(cases.size());
    InventCourse(tables, random.Fork(1), made);
    InventOutcomes(random.Fork(2), made.record);
    made.scores = InventScores(1 - static_cast<double>(left) / tables.count, random.Fork(3), sheet);
    if (left <= tables.scored_twice) InventSecond(random.Fork(4), sheet, made);
    if (left <= tables.follow_ups && !tables.follow_up.empty())
      made.record.extra["follow_up." + tables.follow_up] =
          fmt::format("{} to {}", DateAfter(made.record.date, 60), DateAfter(made.record.date, 90));
    cases.push_back(std::move(made));
  }
  return cases;
}

namespace {

Status ReviewTable(const std::string& folder, const OpenCaseOptions& options,
                   const std::vector<EditGroup>& groups, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session, CaseSession::Open(folder, options, files));
  for (const EditGroup& group : groups)
    if (!group.edits.empty()) AFTERSCOPE_TRY(session->Commit(group));
  return session->Sign("");
}

Status MakeTableCase(const TimesOnlyCase& made, const std::string& folder, const DemoReviewing& reviewing,
                     FileSystem& files) {
  AFTERSCOPE_TRY(CaseSession::Create(folder, made.record, files));
  AFTERSCOPE_TRY(KeepScoreSheet(reviewing.sheet, folder, files));
  AFTERSCOPE_TRY(ReviewTable(folder, {ReviewId{"r1"}, reviewing.reviewer, false},
                             {made.steps, made.moments, GiveScores(made.scores, reviewing.sheet)}, files));
  if (made.second_steps.edits.empty()) return {};
  return ReviewTable(folder, {ReviewId{"r2"}, reviewing.second_reviewer, false},
                     {made.second_steps, GiveScores(made.second_scores, reviewing.sheet)}, files);
}

}  // namespace

Result<std::vector<std::string>> MakeTableCases(const DemoTables& tables, const CaseRecord& like,
                                                const DemoPlaces& places, const DemoReviewing& reviewing,
                                                const Progress& progress, const StopQuery& stop,
                                                FileSystem& files) {
  std::vector<std::string> codes;
  const std::vector<TimesOnlyCase> cases = InventTables(tables, like, reviewing.sheet);
  for (const TimesOnlyCase& made : cases) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped while the tables' cases were made."};
    AFTERSCOPE_TRY(MakeTableCase(made, places.TableFolder(made.record.code), reviewing, files));
    codes.push_back(made.record.code);
    Report(progress, static_cast<double>(codes.size()) / static_cast<double>(cases.size()));
  }
  return codes;
}

}  // namespace afterscope
