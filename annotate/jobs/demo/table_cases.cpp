// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/table_cases.hpp"

#include "annotate/store/case_session.hpp"
#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <memory>
#include <utility>

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

std::vector<TimesOnlyCase> TableCasesOf(const DemoTables& tables, const CaseRecord& like) {
  std::vector<TimesOnlyCase> cases;
  for (int number = 1; static_cast<int>(cases.size()) < tables.count; ++number)
    if (!Skipped(tables, number)) cases.push_back(CaseOf(tables, like, number, number - 1));
  return cases;
}

Result<std::vector<std::string>> MakeTableCases(const DemoTables& tables, const CaseRecord& like,
                                                const DemoPlaces& places, const std::string& reviewer,
                                                const Progress& progress, const StopQuery& stop,
                                                FileSystem& files) {
  std::vector<std::string> codes;
  const std::vector<TimesOnlyCase> cases = TableCasesOf(tables, like);
  for (const TimesOnlyCase& made : cases) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped while the tables' cases were made."};
    const std::string folder = places.TableFolder(made.record.code);
    AFTERSCOPE_TRY(CaseSession::Create(folder, made.record, files));
    OpenCaseOptions options;
    options.reviewer_code = reviewer;
    AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session, CaseSession::Open(folder, options, files));
    AFTERSCOPE_TRY(session->Commit(made.steps));
    codes.push_back(made.record.code);
    Report(progress, static_cast<double>(codes.size()) / static_cast<double>(cases.size()));
  }
  return codes;
}

}  // namespace afterscope
