// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/beside_review.hpp"

#include "annotate/jobs/measure.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/review_folders.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kRoughSimulations = 100;
constexpr double kSeen = 0.05;  // seconds: less is not worth a word

std::string Capital(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z')
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

// "starts 2.3 s later"; empty where it does not differ.
std::string Moved(const char* edge, double by) {
  if (std::abs(by) < kSeen) return {};
  return fmt::format("{} {:.1f} s {}", edge, std::abs(by), by > 0 ? "later" : "earlier");
}

std::string VisitWords(const ReviewDifference& d, const CaseClock& clock, const ReviewNames& names) {
  if (!d.second_at) return fmt::format("only in {}, {}", names.first, LengthText(d.first_seconds));
  if (!d.first_at) return fmt::format("only in {}, {}", names.second, LengthText(d.second_seconds));
  const double start = clock.Seconds(*d.second_at) - clock.Seconds(*d.first_at);
  const std::string starts = Moved("starts", start);
  const std::string ends = Moved("ends", start + d.second_seconds - d.first_seconds);
  return fmt::format("in {}: {}{}{}", names.second, starts, starts.empty() || ends.empty() ? "" : ", ", ends);
}

std::string OnlyIn(const ReviewDifference& d, const ReviewNames& names) {
  const std::string& says = d.first_at ? d.first_says : d.second_says;
  return fmt::format("only in {}{}", d.first_at ? names.first : names.second,
                     says.empty() ? "" : ": " + says);
}

std::string Both(const ReviewDifference& d, const ReviewNames& names) {
  const auto said = [](const std::string& words) {
    return words.empty() ? std::string("nothing said") : words;
  };
  return fmt::format("{}: {}; {}: {}", names.first, said(d.first_says), names.second, said(d.second_says));
}

std::string CheckName(const StepList& steps, const std::string& key) {
  const auto found = std::find_if(steps.checks.begin(), steps.checks.end(),
                                  [&](const CheckKind& check) { return check.key == key; });
  return found == steps.checks.end() ? Capital(key) : found->name;
}

DifferenceLine LineOf(const ReviewDifference& d, const CaseClock& clock, const StepList& steps,
                      const ReviewNames& names) {
  const std::optional<FrameRef> at = d.first_at ? d.first_at : d.second_at;
  switch (d.kind) {
    case DifferenceKind::kStep:
      return {steps.NameOf(d.key), VisitWords(d, clock, names), at};
    case DifferenceKind::kCheck:
      return {CheckName(steps, d.key), Both(d, names), at};
    case DifferenceKind::kScore:
      return {Capital(d.key), Both(d, names), at};
    case DifferenceKind::kWords:
      return {d.key == "change" ? "One thing to change" : Capital(d.key), Both(d, names), at};
    case DifferenceKind::kComplication:
    case DifferenceKind::kMoment:
      return {Capital(d.key), OnlyIn(d, names), at};
    case DifferenceKind::kMark:
      return {Capital(d.key), fmt::format("marked only in {}", d.first_at ? names.first : names.second), at};
  }
  return {};
}

const Finding* Like(const std::vector<Finding>& all, const Finding& finding) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const Finding& other) {
    return other.name == finding.name && other.step == finding.step &&
           other.operator_code == finding.operator_code;
  });
  return found == all.end() ? nullptr : &*found;
}

// Times of steps differ with their boundaries, which are told already.
bool IsCompared(const Finding& finding) {
  return finding.measured.estimate && !finding.name.starts_with("time.") &&
         finding.name.find("clock") == std::string::npos;
}

bool Meet(const Estimate& a, const Estimate& b) { return a.low <= b.high && b.low <= a.high; }

}  // namespace

Result<BesideReview> LoadBeside(const std::string& case_folder, const ReviewId& open, const ReviewId& other,
                                const StepList& steps) {
  OpenCaseOptions options;
  options.read_only = true;
  options.review = open;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(case_folder, options));
  const std::vector<ReviewSummary> all = session->Summaries();
  if (!MayBeShown(all, other, open) || !MayBeShown(all, open, other))
    return Error{ErrorCode::kBadCall, "These two reviews are hidden from each other until both are signed."};
  AFTERSCOPE_ASSIGN(Review review, session->ReadReview(other));
  MeasureOptions rough;
  rough.simulations = kRoughSimulations;
  const std::vector<Review> others = MarkedBesides(case_folder, review.id);
  rough.others = PointersTo(others);
  std::vector<Finding> findings =
      MeasureReview(session->record(), review, steps, rough, LoadFollowed(case_folder, review.id));
  return BesideReview{std::move(review), std::move(findings)};
}

std::vector<DifferenceLine> DifferenceLines(const std::vector<ReviewDifference>& differences,
                                            const CaseClock& clock, const StepList& steps,
                                            const ReviewNames& names) {
  std::vector<DifferenceLine> lines;
  lines.reserve(differences.size());
  for (const ReviewDifference& difference : differences)
    lines.push_back(LineOf(difference, clock, steps, names));
  return lines;
}

std::vector<DifferenceLine> FindingDifferences(const std::vector<Finding>& first,
                                               const std::vector<Finding>& second,
                                               const FindingLabels& labels, const ReviewNames& names) {
  std::vector<DifferenceLine> lines;
  for (const Finding& finding : first) {
    const Finding* other = IsCompared(finding) ? Like(second, finding) : nullptr;
    if (!other || !other->measured.estimate || Meet(*finding.measured.estimate, *other->measured.estimate))
      continue;
    DifferenceLine line{Capital(FindingLabelText(labels, finding.name)),
                        fmt::format("{}: {}; {}: {}", names.first, FindingValueText(finding), names.second,
                                    FindingValueText(*other)),
                        std::nullopt};
    if (!finding.frames.empty()) line.at = finding.frames.front();
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace afterscope
