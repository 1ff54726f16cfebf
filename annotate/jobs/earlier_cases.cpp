// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/earlier_cases.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/store/case_session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {

namespace {

std::vector<std::string> CaseFoldersIn(const std::string& folder, FileSystem& files) {
  std::vector<std::string> found;
  if (IsCaseFolder(folder, files)) found.push_back(folder);
  const auto names = files.List(folder);
  if (!names.ok()) return found;
  for (const std::string& name : *names)
    if (const std::string path = fmt::format("{}/{}", folder, name);
        !name.starts_with('.') && IsCaseFolder(path, files))
      found.push_back(path);
  return found;
}

bool IsEarlier(const CaseRecord& other, const CaseRecord& record) {
  return other.operator_code == record.operator_code && !other.date.empty() && other.date < record.date;
}

bool HasRecording(const CaseRecord& record) {
  return std::any_of(record.recordings.begin(), record.recordings.end(),
                     [](const RecordingRef& ref) { return !ref.path.empty(); });
}

bool HasStep(const Review& review, const std::string& step) {
  return std::any_of(review.visits.begin(), review.visits.end(),
                     [&](const StepVisit& visit) { return visit.lane == 0 && visit.step == step; });
}

// Times only: marks and trails of earlier cases are not measured again.
std::vector<Finding> TimesOf(const CaseRecord& record, Review review, const StepList& steps) {
  review.marks.clear();
  review.trails.clear();
  review.scales.clear();
  return MeasureReview(record, review, steps, {});
}

}  // namespace

EarlierCases FindEarlierCases(const CaseRecord& record, ReviewKind kind,
                              const std::vector<std::string>& folders, const StepList& steps,
                              const StopQuery& stop, FileSystem& files) {
  EarlierCases out;
  if (record.operator_code.empty() || record.date.empty()) return out;
  for (const std::string& folder : folders) {
    for (const std::string& path : CaseFoldersIn(folder, files)) {
      if (Stopped(stop)) return out;
      OpenCaseOptions options;
      options.read_only = true;
      const auto session = CaseSession::Open(path, options, files);
      if (!session.ok()) {
        out.unreadable.push_back(session.error().message);
        continue;
      }
      const CaseRecord& other = (*session)->record();
      if (!IsEarlier(other, record)) continue;
      const auto chosen = ReviewForFigures((*session)->Summaries(), kind);
      if (!chosen) continue;
      auto review = (*session)->ReadReview(*chosen);
      if (review.ok() && IsBlind(*review)) continue;
      if (review.ok())
        out.cases.push_back({other.code, other.date, TimesOf(other, *review, steps), review->assessment});
      else
        out.unreadable.push_back(review.error().message);
    }
  }
  std::stable_sort(out.cases.begin(), out.cases.end(),
                   [](const EarlierCase& a, const EarlierCase& b) { return a.date < b.date; });
  return out;
}

std::string EarlierCaseWithStep(const CaseRecord& record, const std::vector<std::string>& folders,
                                const std::string& step, const Progress& progress, const StopQuery& stop,
                                FileSystem& files) {
  std::string newest;
  std::string newest_date;
  if (record.operator_code.empty() || record.date.empty()) return newest;
  OpenCaseOptions options;
  options.read_only = true;
  std::vector<std::string> paths;
  for (const std::string& folder : folders) {
    const std::vector<std::string> found = CaseFoldersIn(folder, files);
    paths.insert(paths.end(), found.begin(), found.end());
  }
  for (std::size_t i = 0; i < paths.size() && !Stopped(stop); ++i) {
    Report(progress, static_cast<double>(i) / static_cast<double>(paths.size()));
    const auto session = CaseSession::Open(paths[i], options, files);
    if (!session.ok()) continue;
    const CaseRecord& other = (*session)->record();
    if (IsBlind((*session)->review()) || !IsEarlier(other, record) || other.date <= newest_date ||
        !HasRecording(other) || !HasStep((*session)->review(), step))
      continue;
    newest = paths[i];
    newest_date = other.date;
  }
  return newest;
}

}  // namespace afterscope
