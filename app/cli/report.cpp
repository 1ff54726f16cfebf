// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/report_case.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/journal.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>
#include <optional>

namespace afterscope {
namespace {

struct ReportOptions {
  std::string folder;
  std::string output;
  std::string paper = "a4";
  std::string review;
  std::vector<std::string> earlier;
};

ReportCaseOptions CaseOptionsFrom(const ReportOptions& options) {
  ReportCaseOptions out;
  out.assets_folder = AssetsFolder();
  out.program_version = AFTERSCOPE_VERSION;
  out.earlier_folders = options.earlier;
  out.today = Today();
  if (!options.review.empty()) out.review = ReviewId{options.review};
  return out;
}

Status RunChecked(const ReportOptions& options) {
  const auto format = ReportFormatOf(options.output);
  if (!format)
    return Error{
        ErrorCode::kBadCall,
        fmt::format("'{}' is no kind of report: give a name that ends in .pdf, .html, .json or .csv.",
                    options.output)};
  const ReportCaseOptions how = CaseOptionsFrom(options);
  OpenCaseOptions open;
  open.review = how.review;
  open.read_only = true;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(options.folder, open));
  TellHowItOpened(*session);
  TellHiddenReviews(*session);
  AFTERSCOPE_ASSIGN(const ReportModel model,
                    ReportOfReview(options.folder, session->record(), session->review(), session->cautions(),
                                   how, ConsoleProgress("Making the report"), ConsoleStop()));
  for (const std::string& sentence : model.told) Say(stderr, "{}\n", sentence);
  if (*format == ReportFormat::kCsv && model.steps.empty())
    return Error{
        ErrorCode::kNotComputable,
        fmt::format("The review of '{}' has no steps yet, so there is no step table: tag some first.",
                    options.folder)};
  PdfOptions pdf;
  pdf.paper = options.paper == "letter" ? Paper::kLetter : Paper::kA4;
  pdf.made_at = UtcNow();
  AFTERSCOPE_ASSIGN(const auto cautions, WriteReport(model, *format, options.output, pdf));
  for (const std::string& caution : cautions) Say(stderr, "{}\n", caution);
  Say("{}\n", options.output);
  return {};
}

}  // namespace

Command ReportCommand() {
  return {
      "report", "Writes the training report of a case", [](CLI::App& sub) {
        auto options = std::make_shared<ReportOptions>();
        sub.add_option("CASEDIR", options->folder, "case folder")->required();
        sub.add_option("-o,--output", options->output,
                       "file to write: .pdf, .html, .json, or .csv for the table of steps alone")
            ->required();
        sub.add_option("--paper", options->paper, "a4 or letter")->check(CLI::IsMember({"a4", "letter"}));
        sub.add_option("--review", options->review, "which review, by its id; else the newest unsigned one");
        sub.add_option("--earlier", options->earlier,
                       "folders with earlier cases of the same operator; else the folder that holds CASEDIR");
        return [options] {
          const Status done = RunChecked(*options);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
