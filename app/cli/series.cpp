// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/series_json.hpp"
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/plan_change.hpp"
#include "annotate/jobs/series/series_logbook.hpp"
#include "annotate/jobs/series/series_person.hpp"
#include "annotate/report/series/person_reports.hpp"
#include "annotate/report/series/series_report.hpp"
#include "annotate/report/series/series_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/common/document_options.hpp"
#include "app/common/number_options.hpp"
#include "app/common/series_call.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>

namespace afterscope {
namespace {

struct SeriesCommandCall {
  SeriesCall base;
  SeriesOptions options;
  std::string plan;
  std::string json;
  std::string lines;
  std::string csv;
  std::string report;
  std::string progress;
  std::string portfolio;
  std::string logbook;
  std::string paper = "a4";
  PlanChange change;
};

Status ReadPlan(SeriesCommandCall& call) {
  const std::string path = call.plan.empty() ? AssetsFolder() + "/series/usual.json" : call.plan;
  AFTERSCOPE_ASSIGN(call.options.plan, LoadSeriesPlan(path));
  return ChangePlan(call.options.plan, call.change);
}

Status WriteTables(const SeriesCommandCall& call, const SeriesModel& model) {
  if (!call.json.empty()) AFTERSCOPE_TRY(WriteJsonOutput(call.json, ExportedText(JsonFromSeries(model))));
  if (!call.lines.empty()) AFTERSCOPE_TRY(WriteJsonOutput(call.lines, JsonLinesFromSeries(model)));
  if (!call.csv.empty()) AFTERSCOPE_TRY(WriteOutput(call.csv, CsvFromSeries(model)));
  return {};
}

Status WritePersonReports(const SeriesCommandCall& call, CaseIndex& index, const SeriesModel& model,
                          const ReportWords& words) {
  AFTERSCOPE_ASSIGN(
      const PersonRecord person,
      GatherPerson(index, model, AssetsFolder(), ConsoleProgress("Making the report"), ConsoleStop()));
  if (!call.progress.empty())
    AFTERSCOPE_TRY(
        WriteDocument(ProgressReport(model, person, words), call.progress, DocumentOptions(call.paper)));
  if (!call.portfolio.empty())
    AFTERSCOPE_TRY(
        WriteDocument(PortfolioReport(model, person, words), call.portfolio, DocumentOptions(call.paper)));
  return {};
}

std::vector<std::string> OutputsOf(const SeriesCommandCall& call) {
  std::vector<std::string> outputs{call.json,     call.lines,     call.csv,    call.report,
                                   call.progress, call.portfolio, call.logbook};
  std::erase(outputs, "");
  return outputs;
}

// Whether all that is asked for also counts what a person did besides operating.
bool CountsOtherParts(const SeriesCommandCall& call) {
  const std::size_t of_person =
      static_cast<std::size_t>(!call.logbook.empty()) + static_cast<std::size_t>(!call.portfolio.empty());
  return of_person > 0 && OutputsOf(call).size() == of_person;
}

Status Series(SeriesCommandCall& call) {
  AFTERSCOPE_TRY(RefuseSameOutput(OutputsOf(call)));
  AFTERSCOPE_TRY(ReadPlan(call));
  AFTERSCOPE_ASSIGN(const CurrentIndex open, OpenUpToDate(call.base));
  call.options.filter = call.base.filter;
  if (!call.logbook.empty()) {
    AFTERSCOPE_ASSIGN(const auto entries, LogbookOf(*open.index, open.folder, call.base.filter));
    AFTERSCOPE_TRY(WriteOutput(call.logbook, CsvFromLogbook(entries)));
  }
  call.options.assets_folder = AssetsFolder();
  call.options.may_be_empty = CountsOtherParts(call);
  AFTERSCOPE_ASSIGN(const SeriesModel model, BuildSeries(*open.index, open.folder, call.options));
  for (const std::string& caution : model.cautions) Say(stderr, "{}\n", caution);
  AFTERSCOPE_TRY(WriteTables(call, model));
  AFTERSCOPE_ASSIGN(const ReportWords words, LoadReportWords(AssetsFolder() + "/reports/words.json"));
  if (!call.report.empty())
    AFTERSCOPE_TRY(WriteDocument(SeriesReport(model, words), call.report, DocumentOptions(call.paper)));
  if (!call.progress.empty() || !call.portfolio.empty())
    AFTERSCOPE_TRY(WritePersonReports(call, *open.index, model, words));
  if (OutputsOf(call).empty())
    for (const std::string& line : SeriesLines(model, words)) Say("{}\n", line);
  return {};
}

void AddOptions(CLI::App& sub, SeriesCommandCall& call) {
  AddSeriesOptions(sub, call.base);
  sub.add_option(
      "--by", call.options.by,
      "compare groups: operator, role, eye, difficulty, operation, date:YYYY-MM-DD (before, and from "
      "then on), operator:CODE (that person against the others by their role), or a case's own field; "
      "one that holds a day, such as course, parts the cases before it from those since");
  sub.add_option("--reference", call.options.reference, "the group that others are compared with");
  sub.add_flag("--all", call.options.all_findings, "every finding, not only the usual ones");
  sub.add_flag("--whole-steps", call.options.whole_steps_only,
               "leave out step times to which others contributed");
  sub.add_option("--level", call.options.level, "of all limits")
      ->check(NumberWithin(0.5, 0.999))
      ->capture_default_str();
  sub.add_option("--plan", call.plan, "file with the usual findings and the cumulative sums");
  sub.add_option("--time-limit", call.change.time_limits,
                 "STEP=SECONDS (or whole=SECONDS): a cumulative sum for it")
      ->take_all();
  sub.add_option("--acceptable", call.change.acceptable,
                 "acceptable rate of failure, for all cumulative sums")
      ->check(AnyNumber());
  sub.add_option("--unacceptable", call.change.unacceptable, "unacceptable rate")->check(AnyNumber());
  sub.add_option("--alpha", call.change.alpha, "risk of calling the acceptable rate unacceptable")
      ->check(AnyNumber());
  sub.add_option("--beta", call.change.beta, "risk of calling the unacceptable rate acceptable")
      ->check(AnyNumber());
  sub.add_option("--json", call.json, "file for everything as JSON, - for standard output");
  sub.add_option("--lines", call.lines, "file for the values, one JSON object a line");
  sub.add_option("--report", call.report, "file for the series report: .pdf or .html");
  sub.add_option("--progress", call.progress, "file for the progress report of --operator: .pdf or .html");
  sub.add_option("--portfolio", call.portfolio, "file for the portfolio report of --operator: .pdf or .html");
  sub.add_option("--logbook", call.logbook, "file for the logbook of --operator as a table");
  sub.add_option("--paper", call.paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
  sub.add_option("--csv", call.csv, "file for the values as a table");
}

}  // namespace

Command SeriesCommand() {
  return {"series", "Step times and findings across cases", [](CLI::App& sub) {
            auto call = std::make_shared<SeriesCommandCall>();
            AddOptions(sub, *call);
            return [call] {
              const Status done = Series(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
