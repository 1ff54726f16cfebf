// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/finding_csv.hpp"
#include "annotate/exchange/finding_json.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <memory>

namespace afterscope {
namespace {

struct MeasureCall {
  std::string folder;
  std::string review;
  std::string json;
  std::string csv;
  MeasureOptions options;
};

std::string JsonText(const std::vector<Finding>& findings) {
  nlohmann::ordered_json all = nlohmann::ordered_json::array();
  for (const Finding& finding : findings) all.push_back(JsonFromFinding(finding));
  return ExportedText(all, 2);
}

std::string Short(double value) { return fmt::format("{:.4g}", value); }

std::string NameOf(const Finding& finding) {
  std::string out = finding.name;
  if (finding.step) out += " " + *finding.step;
  if (finding.operator_code) out += " by " + *finding.operator_code;
  if (!finding.marks.empty()) out += " [" + finding.marks.front().value + "]";
  if (finding.trail) out += " [" + finding.trail->value + "]";
  return out;
}

void PrintTable(const std::vector<Finding>& findings) {
  for (const Finding& finding : findings) {
    const Measured& m = finding.measured;
    if (m.estimate && !m.estimate->HasLimits())
      Say("{:<52} {:>10} {}\n", NameOf(finding), Short(m.estimate->value), m.unit);
    else if (m.estimate)
      Say("{:<52} {:>10} {:<10} {} to {}\n", NameOf(finding), Short(m.estimate->value), m.unit,
          Short(m.estimate->low), Short(m.estimate->high));
    else
      Say("{:<52} {:>10} {:<10} {}\n", NameOf(finding), "-", "",
          m.cautions.empty() ? "" : m.cautions.front());
  }
}

// Something of this case and review, not what holds for any case.
bool IsOfThisCase(const Finding& finding) {
  return finding.measured.estimate && !finding.name.starts_with("scale.factor_") &&
         finding.name != "time.recorded";
}

// Only how far their marks lie from those of this review is taken from them; one that can't be read is left
// out.
Status Measure(const MeasureCall& call) {
  AFTERSCOPE_TRY(RefuseSameOutput({call.json, call.csv}));
  OpenCaseOptions open;
  open.read_only = true;
  if (!call.review.empty()) open.review = ReviewId{call.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(call.folder, open));
  TellCautions(*session);
  AFTERSCOPE_ASSIGN(const StepList steps, LoadStepList(session->record(), call.folder, AssetsFolder()));
  const Followed followed = LoadFollowed(call.folder, session->review().id);
  std::vector<std::string> outdated;
  CurrentOf(followed, session->record(), session->review(), &outdated);
  for (const std::string& sentence : outdated) Say(stderr, "{}\n", sentence);
  MeasureOptions options = call.options;
  options.stop = ConsoleStop();
  const std::vector<Review> others = MarkedBesides(call.folder, session->review().id);
  options.others = PointersTo(others);
  const CaseRecord record = ShownRecord(session->record(), session->review());
  const Review review = ShownReview(session->record(), session->review());
  const std::vector<Finding> findings = MeasureReview(record, review, steps, options, followed);
  if (Stopped(options.stop))
    return Error{ErrorCode::kStopped, "Stopped before everything was measured; nothing was written."};
  if (!call.json.empty()) AFTERSCOPE_TRY(WriteJsonOutput(call.json, JsonText(findings)));
  if (!call.csv.empty()) AFTERSCOPE_TRY(WriteOutput(call.csv, CsvFromFindings(findings)));
  if (call.json.empty() && call.csv.empty()) PrintTable(findings);
  if (std::none_of(findings.begin(), findings.end(), IsOfThisCase))
    return Error{
        ErrorCode::kNotComputable,
        fmt::format(
            "Nothing can be measured in '{}': no step is tagged and nothing is marked; tag or mark first.",
            call.folder)};
  return {};
}

}  // namespace

Command MeasureCommand() {
  return {"measure", "All findings of a case, with limits", [](CLI::App& sub) {
            auto call = std::make_shared<MeasureCall>();
            sub.add_option("CASEDIR", call->folder, "case folder")->required();
            sub.add_option("--review", call->review, "id of the review (default: the newest unsigned one)");
            sub.add_option("--json", call->json, "file for the findings as JSON, - for standard output");
            sub.add_option("--csv", call->csv, "file for the findings as a table, - for standard output");
            sub.add_option("--simulations", call->options.simulations, "for limits without a closed form")
                ->check(NumberWithin(100, 100000))
                ->capture_default_str();
            sub.add_option("--marking-sd-px", call->options.marking_sd_px,
                           "marking error of one point, standard deviation")
                ->check(NumberWithin(0, 100))
                ->capture_default_str();
            return [call] {
              const Status done = Measure(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
