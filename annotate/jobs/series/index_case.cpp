// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/index_case.hpp"

#include "annotate/case/case_clock.hpp"
#include "annotate/case/finding.hpp"
#include "annotate/case/incision.hpp"
#include "annotate/case/operator_name.hpp"
#include "annotate/case/review_access.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/series/finding_cache.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/score_sheet_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

namespace afterscope {
namespace {

std::string FieldOf(const std::map<std::string, std::string>& fields, const char* name) {
  const auto found = fields.find(name);
  return found == fields.end() ? std::string() : found->second;
}

const Mark* MarkOf(const Review& review, const Finding& finding) {
  for (const Mark& mark : review.marks)
    if (!finding.marks.empty() && mark.id == finding.marks.front()) return &mark;
  return nullptr;
}

// Which of several things of one kind a finding is of: an incision's name, a trail's instrument.
std::string PartOf(const Review& review, const Finding& finding) {
  if (finding.step) return *finding.step;
  if (finding.trail)
    for (const Trail& trail : review.trails)
      if (trail.id == *finding.trail) return trail.instrument;
  const bool of_incision = finding.name.starts_with("incision.") || finding.name.starts_with("tunnel.");
  const Mark* mark = of_incision ? MarkOf(review, finding) : nullptr;
  return mark ? NameOfIncision(*mark) : "";
}

IndexFinding RowOf(const Review& review, const Finding& finding) {
  IndexFinding row;
  row.name = finding.name;
  row.step = PartOf(review, finding);
  row.operator_code = finding.operator_code.value_or("");
  const auto& estimate = finding.measured.estimate;
  if (estimate && std::isfinite(estimate->value + estimate->low + estimate->high)) {
    row.value = estimate->value;
    row.low = estimate->low;
    row.high = estimate->high;
  }
  row.unit = finding.measured.unit;
  if (!finding.frames.empty()) row.frame = finding.frames.front();
  return row;
}

// Of several findings of one name and part the last one stands: an outline marked again corrects the one
// before.
std::vector<IndexFinding> LastOfEach(std::vector<IndexFinding> findings) {
  const auto key = [](const IndexFinding& f) { return std::tie(f.name, f.step, f.operator_code); };
  std::stable_sort(findings.begin(), findings.end(), [&](const IndexFinding& a, const IndexFinding& b) {
    return std::pair(key(a), a.value.has_value()) < std::pair(key(b), b.value.has_value());
  });
  std::vector<IndexFinding> last;
  for (IndexFinding& finding : findings) {
    if (!last.empty() && key(last.back()) == key(finding)) last.pop_back();
    last.push_back(std::move(finding));
  }
  return last;
}

std::vector<IndexFinding> Measured(const CaseRecord& record, const Review& review,
                                   const MeasureOptions& options = {}, const Followed& followed = {}) {
  std::vector<IndexFinding> rows;
  for (const Finding& finding : MeasureReview(record, review, {}, options, followed))
    rows.push_back(RowOf(review, finding));
  return LastOfEach(std::move(rows));
}

std::vector<IndexFinding> MeasuredTimes(const CaseRecord& record, const Review& review) {
  Review only;
  only.id = review.id;
  only.visits = review.visits;
  std::vector<IndexFinding> rows = Measured(record, only);
  std::erase_if(rows, [](const IndexFinding& row) { return !IsTime(row); });
  return rows;
}

// Without points where they can't be read.
Review WithPoints(const std::string& folder, const ReviewSnapshot& review, FileSystem& files) {
  if (!review.has_points)
    if (auto read = ReadReviewWithPoints(folder, review.review.id, files); read.ok()) return std::move(*read);
  return review.review;
}

// All but times. Whose a trail is, and what was in a step, the visits say.
std::vector<IndexFinding> MeasuredMarks(const std::string& folder, const CaseSnapshot& snapshot,
                                        const ReviewSnapshot& review, FileSystem& files) {
  Review whole = WithPoints(folder, review, files);
  if (!NeedsVisits(review)) whole.visits.clear();
  std::vector<Review> others;
  for (const ReviewSnapshot& other : snapshot.reviews)
    if (IsMarked(other.review) && other.review.id != review.review.id)
      others.push_back(WithPoints(folder, other, files));
  MeasureOptions options;
  options.others = PointersTo(others);
  const Followed followed = review.has_followed ? LoadFollowed(folder, review.review.id, files) : Followed{};
  std::vector<IndexFinding> rows = Measured(snapshot.record, whole, options, followed);
  std::erase_if(rows, IsTime);
  return rows;
}

// Findings as rows; what was computed from the same before comes from the case's cache.
std::vector<IndexFinding> FindingsOf(const std::string& folder, const CaseSnapshot& snapshot,
                                     const ReviewSnapshot& review, FileSystem& files) {
  if (!IsMarked(review.review) && !review.has_followed) return Measured(snapshot.record, review.review);
  const FindingSource source = FindingSourceOf(snapshot, review);
  const std::string& id = review.review.id.value;
  CachedFindings cached = ReadFindingCache(folder, id, source, files);
  const bool complete = cached.times && cached.others;
  std::vector<IndexFinding> rows =
      cached.others ? std::move(*cached.others) : MeasuredMarks(folder, snapshot, review, files);
  const std::vector<IndexFinding> times =
      cached.times ? std::move(*cached.times) : MeasuredTimes(snapshot.record, review.review);
  rows.insert(rows.end(), times.begin(), times.end());
  if (!complete) WriteFindingCache(folder, id, source, rows, files);
  return rows;
}

std::vector<IndexVisit> VisitsOf(const CaseRecord& record, const Review& review, const CaseClock& clock) {
  std::vector<IndexVisit> visits;
  for (const StepVisit& visit : review.visits)
    if (visit.lane == 0)
      visits.push_back({visit.step, OperatorName(record, visit), visit.taken_over, clock.Seconds(visit.start),
                        clock.Seconds(EndOf(review, visit, clock.end())), visit.start});
  return visits;
}

const IndexVisit* VisitAt(const std::vector<IndexVisit>& visits, double seconds) {
  for (const IndexVisit& visit : visits)
    if (visit.start_s <= seconds && seconds < visit.end_s) return &visit;
  return nullptr;
}

std::vector<IndexMoment> MomentsOf(const CaseRecord& record, const Review& review, const CaseClock& clock,
                                   const std::vector<IndexVisit>& visits) {
  std::vector<IndexMoment> moments;
  for (const Moment& moment : review.moments) {
    IndexMoment row;
    row.kind = WordOf(moment.kind);
    row.key = moment.key;
    row.words = moment.text;
    row.at_s = clock.Seconds(moment.at);
    row.at = moment.at;
    const IndexVisit* visit = VisitAt(visits, row.at_s);
    row.operator_code = FieldOf(moment.fields, "operator");
    if (row.operator_code.empty()) row.operator_code = visit ? visit->operator_code : OperatorName(record);
    row.step = FieldOf(moment.fields, "step_arisen");
    if (row.step.empty() && visit) row.step = visit->step;
    moments.push_back(std::move(row));
  }
  return moments;
}

// Whose a finding is, and whether others had a part in it.
void Attribute(IndexFinding& finding, const CaseRecord& record, const CaseClock& clock,
               const std::vector<IndexVisit>& visits) {
  const bool of_step = finding.name.starts_with("time.step_");
  if (of_step && finding.operator_code.empty()) return;
  if (finding.operator_code.empty()) {
    const IndexVisit* visit = finding.frame ? VisitAt(visits, clock.Seconds(*finding.frame)) : nullptr;
    finding.operator_code = visit ? visit->operator_code : OperatorName(record);
    finding.taken_over = visit && visit->taken_over;
  }
  for (const IndexVisit& visit : visits) {
    if (of_step && visit.step != finding.step) continue;
    const bool own = visit.operator_code == finding.operator_code;
    if (of_step && own && !finding.frame) finding.frame = visit.start;
    if (of_step && own) finding.taken_over |= visit.taken_over;
    if ((of_step || !finding.frame) && !own) finding.shared = true;
  }
}

// The scores, and of each sheet that is filled in the percent of what applies.
void AddScores(const std::string& folder, const CaseRecord& record, const Review& review, FileSystem& files,
               IndexReview& row) {
  std::set<std::string> sheets;
  for (const Score& score : review.scores) {
    row.scores.push_back({score.id.sheet, score.id.item, score.value});
    sheets.insert(score.id.sheet);
  }
  for (const std::string& id : sheets) {
    const auto sheet = LoadScoreSheetFile(fmt::format("{}/score_sheets/{}.json", folder, id), files);
    if (!sheet.ok()) continue;
    const ScoreSum sum = SumScores(*sheet, review.scores);
    if (sum.missing > 0 || !sum.percent || !std::isfinite(*sum.percent)) continue;
    IndexFinding finding;
    finding.name = "score.percent";
    finding.step = id;
    finding.operator_code = OperatorName(record);
    finding.value = sum.percent;
    finding.low = finding.high = *sum.percent;
    finding.unit = "%";
    row.findings.push_back(std::move(finding));
  }
}

IndexReview ReviewFrom(const std::string& folder, const CaseSnapshot& snapshot, const ReviewSnapshot& read,
                       const CaseClock& clock, FileSystem& files) {
  const Review& review = read.review;
  IndexReview row;
  row.review = review.id.value;
  row.reviewer_code = review.reviewer_code;
  row.kind = WordOf(review.kind);
  const ReviewSummary summary = SummaryOf(review);
  row.is_self = summary.is_self;
  row.version = summary.version;
  row.version_of = summary.version_of.value;
  row.is_signed = summary.is_signed;
  if (const SignedReview* known = FindSigned(snapshot.record, review.id)) row.seal = known->seal;
  row.visits = VisitsOf(snapshot.record, review, clock);
  row.moments = MomentsOf(snapshot.record, review, clock, row.visits);
  row.findings = FindingsOf(folder, snapshot, read, files);
  for (IndexFinding& finding : row.findings) Attribute(finding, snapshot.record, clock, row.visits);
  AddScores(folder, snapshot.record, review, files, row);
  for (const auto& [key, state] : review.checks)
    if (state != CheckState::kNotReviewed) row.checks.push_back({key, std::string(WordOf(state))});
  row.complications_known = review.is_signed || !review.moments.empty() || !row.checks.empty() ||
                            FieldOf(snapshot.record.extra, "complications") == "none";
  return row;
}

void CopyFields(const CaseRecord& record, IndexCase& row) {
  row.code = record.code;
  row.date = record.date;
  row.eye = WordOf(record.eye);
  row.operation = record.operation;
  row.step_list = record.step_list;
  row.operator_code = OperatorName(record);
  row.operator_role = record.operator_role;
  row.supervisor_code = record.supervisor_code;
  row.supervision_level = record.supervision_level;
  row.difficulty = record.difficulty;
  row.extra = record.extra;
}

}  // namespace

IndexCase ReadIndexCase(const std::string& folder, FileSystem& files) {
  IndexCase row;
  row.folder = folder;
  row.stamp = StampOfCase(folder, ReviewsIn(folder, files), files);
  const auto snapshot = ReadCaseSnapshot(folder, row.problem, files);
  if (!snapshot.ok()) {
    row.problem = snapshot.error().message;
    return row;
  }
  CopyFields(snapshot->record, row);
  const CaseClock clock(snapshot->record.recordings);
  row.recorded_s = clock.TotalSeconds();
  for (const ReviewSnapshot& review : snapshot->reviews)
    row.reviews.push_back(ReviewFrom(folder, *snapshot, review, clock, files));
  return row;
}

}  // namespace afterscope
