// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/compare/compared_case.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/compare/alignment.hpp"
#include "app/desktop/desk/case_shelf.hpp"

#include <algorithm>
#include <array>
#include <filesystem>

namespace afterscope {
namespace {

constexpr int kRoughSimulations = 100;
constexpr double kShareOfFinding = 0.3;  // of the work for many cases
constexpr std::array<std::string_view, 3> kTimes{"time.step_total", "time.step_visits", "time.step_longest"};

bool HasRecording(const CaseRecord& record) {
  return std::any_of(record.recordings.begin(), record.recordings.end(),
                     [](const RecordingRef& ref) { return !ref.path.empty(); });
}

// Of the rhexis: what is true in its plane, not as seen, and not the parts round the clock.
bool IsRhexisFigure(const std::string& name) {
  return name.starts_with("rhexis.") && !name.ends_with(".as_seen") &&
         !name.starts_with("rhexis.over_optic") && name.find("clock") == std::string::npos;
}

bool Belongs(const Finding& finding, const std::string& step) {
  if (finding.operator_code) return false;
  if (finding.step == step)
    return !finding.name.starts_with("time.") ||
           std::find(kTimes.begin(), kTimes.end(), finding.name) != kTimes.end();
  return step == "rhexis" && IsRhexisFigure(finding.name);
}

}  // namespace

Result<ComparedCase> LoadComparedCase(const std::string& folder) {
  OpenCaseOptions options;
  options.read_only = true;
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session, CaseSession::Open(folder, options));
  if (IsBlind(session->review()))
    return Error{ErrorCode::kBadCall,
                 "That case is reviewed blinded and not signed yet: compared, it would show whose it is."};
  AFTERSCOPE_ASSIGN(StepList steps, LoadStepList(session->record(), folder, AssetsFolder()));
  MeasureOptions rough;
  rough.simulations = kRoughSimulations;
  const std::vector<Review> others = MarkedBesides(folder, session->review().id);
  rough.others = PointersTo(others);
  std::vector<Finding> findings = MeasureReview(session->record(), session->review(), steps, rough,
                                                LoadFollowed(folder, session->review().id));
  return ComparedCase{folder, session->record(), session->review(), std::move(steps), std::move(findings), 0};
}

std::vector<ComparedCase> CasesWithStep(const std::string& folder, const std::string& step, std::size_t most,
                                        const Progress& progress, const StopQuery& stop) {
  std::vector<ComparedCase> found;
  std::vector<ShelfCase> shelf = FindCases(
      std::filesystem::path(folder).parent_path().string(),
      [&](double share) { Report(progress, kShareOfFinding * share); }, stop);
  std::reverse(shelf.begin(), shelf.end());
  std::size_t looked_at = 0;
  for (const ShelfCase& entry : shelf) {
    if (Stopped(stop) || found.size() >= most) break;
    const double looked = static_cast<double>(looked_at++) / static_cast<double>(shelf.size());
    Report(progress, kShareOfFinding + (1 - kShareOfFinding) * looked);
    if (entry.folder == folder || entry.times_only || !entry.problem.empty()) continue;
    auto loaded = LoadComparedCase(entry.folder);
    if (loaded && HasRecording(loaded->record) && HasStep(loaded->review, step))
      found.push_back(std::move(loaded).value());
  }
  return found;
}

std::string CaseWords(const CaseRecord& record) {
  std::string words = record.code;
  for (const std::string& part : {record.date, record.operator_code})
    if (!part.empty()) words += (words.empty() ? "" : "  ·  ") + part;
  return words.empty() ? "this case" : words;
}

const Finding* FindingOf(const ComparedCase& of, const std::string& name, const std::string& step) {
  const auto found = std::find_if(of.findings.begin(), of.findings.end(), [&](const Finding& finding) {
    return finding.name == name && Belongs(finding, step);
  });
  return found == of.findings.end() ? nullptr : &*found;
}

std::vector<std::string> FindingsBeside(const std::vector<const ComparedCase*>& cases,
                                        const std::string& step) {
  std::vector<std::string> names;
  for (const ComparedCase* each : cases)
    for (const Finding& finding : each->findings)
      if (Belongs(finding, step) && finding.measured.estimate &&
          std::find(names.begin(), names.end(), finding.name) == names.end())
        names.push_back(finding.name);
  return names;
}

}  // namespace afterscope
