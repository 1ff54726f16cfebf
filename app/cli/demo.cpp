// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/jobs/demo/demo_report.hpp"
#include "annotate/jobs/demo/demo_series.hpp"
#include "annotate/jobs/demo/table_cases.hpp"
#include "annotate/jobs/phantom/truth_table.hpp"
#include "annotate/store/json_text.hpp"
#include "annotate/store/pending_file.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"
#include "app/common/work_queue.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <opencv2/core/utility.hpp>

#include <algorithm>
#include <memory>
#include <thread>

namespace afterscope {
namespace {

struct DemoOptions {
  std::string folder;
  std::vector<std::string> only;
  int workers = 0;
};

struct Demo {
  DemoOptions options;
  DemoPlaces places;
  DemoSeries series;
  DemoReviewing reviewing;
  std::vector<DemoOutcome> outcomes;  // as series.cases
  std::vector<std::string> table_codes;
};

int WorkersOf(const DemoOptions& options) {
  const int processors = static_cast<int>(std::thread::hardware_concurrency());
  return options.workers > 0 ? options.workers : std::clamp(processors, 1, 16);
}

// Lies in the folder while a demo is being made, so that one that was stopped is known as such.
constexpr char kUnfinished[] = "unfinished";
constexpr const char* kSubfolders[] = {"cases", "tables", "recordings", "truth", "reports"};

// The folder must be absent or empty, or hold a demo that was stopped, which is then removed.
Status ClearFolder(FileSystem& files, const std::string& folder) {
  AFTERSCOPE_TRY(MakeFolders(files, folder));
  RemoveLeftovers(files, folder, kUnfinished);  // of one that ended before its mark had its name
  AFTERSCOPE_ASSIGN(const std::vector<std::string> inside, files.List(folder));
  if (std::find(inside.begin(), inside.end(), kUnfinished) != inside.end()) {
    for (const char* sub : kSubfolders) AFTERSCOPE_TRY(RemoveTree(files, folder + "/" + sub));
    return {};
  }
  if (inside.empty()) return ReplaceFile(files, folder + "/" + kUnfinished, "This demo is being made.\n");
  return Error{ErrorCode::kBadCall,
               fmt::format("The demo needs an empty folder, and {} is not empty: give another one, "
                           "or remove it first.",
                           folder)};
}

Status Prepare(Demo& demo) {
  FileSystem& files = RealFileSystem();
  AFTERSCOPE_ASSIGN(demo.series, ReadDemoSeries(AssetsFolder() + "/demo/series.json"));
  if (!demo.options.only.empty())
    std::erase_if(demo.series.cases, [&](const DemoCase& c) {
      return std::find(demo.options.only.begin(), demo.options.only.end(), c.record.code) ==
             demo.options.only.end();
    });
  if (demo.series.cases.empty()) return Error{ErrorCode::kBadCall, "The demo has no case of that code."};
  AFTERSCOPE_ASSIGN(demo.reviewing, LoadDemoReviewing(demo.series, AssetsFolder()));
  demo.places.folder = demo.options.folder;
  AFTERSCOPE_TRY(ClearFolder(files, demo.options.folder));
  for (const char* folder : kSubfolders) AFTERSCOPE_TRY(files.MakeFolder(demo.options.folder + "/" + folder));
  demo.outcomes.resize(demo.series.cases.size());
  return {};
}

double CostOf(const DemoCase& one) {
  return one.scene.seconds * one.format.frame_rate.value() * one.scene.width * one.scene.height *
         (one.scene.interlaced ? 2 : 1);
}

// The longest first, so that no worker is left with it at the end.
std::vector<WorkItem> CaseWork(Demo& demo) {
  std::vector<std::size_t> order(demo.series.cases.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return CostOf(demo.series.cases[a]) > CostOf(demo.series.cases[b]);
  });
  std::vector<WorkItem> items;
  items.reserve(order.size() + 1);
  for (const std::size_t i : order)
    items.push_back([&demo, i](const Progress& progress, const StopQuery& stop) -> Status {
      const DemoCase& one = demo.series.cases[i];
      AFTERSCOPE_ASSIGN(demo.outcomes[i], MakeDemoCase(one, demo.places, demo.reviewing, progress, stop));
      return {};
    });
  items.push_back([&demo](const Progress& progress, const StopQuery& stop) -> Status {
    AFTERSCOPE_ASSIGN(demo.table_codes, MakeTableCases(demo.series.tables, demo.series.cases.front().record,
                                                       demo.places, demo.reviewing, progress, stop));
    return {};
  });
  return items;
}

// Once all are measured: each report compares with the same operator's earlier cases.
std::vector<WorkItem> ReportWork(const Demo& demo) {
  std::vector<WorkItem> items;
  items.reserve(demo.outcomes.size());
  for (const DemoOutcome& outcome : demo.outcomes)
    items.push_back([&demo, &outcome](const Progress& progress, const StopQuery& stop) {
      return WriteDemoReport(outcome.code, demo.places, AssetsFolder(), AFTERSCOPE_VERSION, progress, stop);
    });
  return items;
}

Status Make(Demo& demo) {
  const StopQuery stop = ConsoleStop();
  const int workers = WorkersOf(demo.options);
  AFTERSCOPE_TRY(RunAll(CaseWork(demo), workers, ConsoleProgress("Making the demo"), stop));
  return RunAll(ReportWork(demo), workers, ConsoleProgress("Writing the reports"), stop);
}

Status WriteIndex(const Demo& demo) {
  Json cases = Json::array();
  for (const DemoOutcome& outcome : demo.outcomes) {
    const Coverage coverage = CoverageOf(outcome.comparisons);
    cases.push_back({{"code", outcome.code},
                     {"date", outcome.date},
                     {"operator", outcome.operator_code},
                     {"case", "cases/" + outcome.code},
                     {"truth", "truth/" + outcome.code + ".json"},
                     {"report", "reports/" + outcome.code + ".pdf"},
                     {"limits_that_hold_the_truth", coverage.held},
                     {"limits", coverage.all}});
  }
  Json tables = Json::array();
  for (const std::string& code : demo.table_codes) tables.push_back("tables/" + code);
  const Json index = {{"format", "afterscope demo"},
                      {"version", "1.0"},
                      {"about", demo.series.about},
                      {"cases", cases},
                      {"table_cases", tables}};
  AFTERSCOPE_TRY(ReplaceFile(RealFileSystem(), demo.options.folder + "/demo.json", ReadableText(index)));
  return RealFileSystem().Remove(demo.options.folder + "/" + kUnfinished);
}

void PrintOutcome(const Demo& demo) {
  std::vector<CheckedCase> compared;
  for (const DemoOutcome& outcome : demo.outcomes) {
    Say("{}  {}\n", outcome.code, demo.places.Report(outcome.code));
    compared.push_back({outcome.code, outcome.comparisons});
  }
  fmt::print("\n{}\n{}", MainFindingsTable(compared), TruthSummary(compared));
}

int Run(Demo& demo) {
  cv::setNumThreads(1);  // the workers are threads enough
  if (const Status ready = Prepare(demo); !ready.ok()) return Failed(ready.error());
  if (const Status made = Make(demo); !made.ok()) return Failed(made.error());
  if (const Status indexed = WriteIndex(demo); !indexed.ok()) return Failed(indexed.error());
  PrintOutcome(demo);
  return 0;
}

}  // namespace

Command DemoCommand() {
  return {"demo",
          "Makes an invented training series: recordings, tagged and marked cases, reports, and the truth "
          "beside them",
          [](CLI::App& app) {
            auto options = std::make_shared<DemoOptions>();
            app.add_option("DIR", options->folder, "A new or empty folder, or one where a demo was stopped")
                ->required();
            app.add_option("--only", options->only, "Makes only the recorded cases of these codes");
            app.add_option("--workers", options->workers,
                           "Threads that render and encode; default: one a processor")
                ->check(NumberWithin(0, 64));
            return [options] {
              Demo demo;
              demo.options = *options;
              return Run(demo);
            };
          }};
}

}  // namespace afterscope
