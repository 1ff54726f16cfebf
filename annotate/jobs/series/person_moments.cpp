// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/person_moments.hpp"

#include "annotate/case/consent.hpp"
#include "annotate/jobs/report_case.hpp"
#include "annotate/report/format.hpp"
#include "annotate/store/journal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace afterscope {
namespace {

constexpr std::size_t kMostMoments = 6;

bool IsEvidence(const Score& score, const MomentId& id) {
  return std::find(score.moments.begin(), score.moments.end(), id) != score.moments.end();
}

const ScoreItem* ItemOf(const Score& score, const std::vector<ScoreSheet>& sheets) {
  for (const ScoreSheet& sheet : sheets)
    if (sheet.id == score.id.sheet) return sheet.Find(score.id.item);
  return nullptr;
}

std::string ScoreText(const ScoreItem& item, double value) {
  const ScoreLevel* level = item.Find(value);
  return level == nullptr ? item.name : fmt::format("{}: {}", item.name, level->name);
}

// What the scores say of a moment that is their evidence.
struct Standing {
  std::string top;
  std::string foot;
};

Standing StandingOf(const Moment& moment, const Review& review, const std::vector<ScoreSheet>& sheets) {
  Standing standing;
  for (const Score& score : review.scores) {
    if (!score.value || !IsEvidence(score, moment.id)) continue;
    const ScoreItem* item = ItemOf(score, sheets);
    if (item == nullptr) continue;
    if (*score.value >= item->Most()) standing.top = ScoreText(*item, *score.value);
    if (*score.value <= item->Least()) standing.foot = ScoreText(*item, *score.value);
  }
  return standing;
}

bool HasRecording(const CountedCase& reviewed) {
  const auto& recordings = reviewed.record.recordings;
  return std::any_of(recordings.begin(), recordings.end(),
                     [](const RecordingRef& recording) { return !recording.path.empty(); });
}

// As the training report shows it.
std::optional<ShownMoment> Shown(const CountedCase& reviewed, const WorthyMoment& worthy,
                                 const std::string& assets, const Progress& progress, const StopQuery& stop,
                                 FileSystem& files) {
  Review only;
  only.id = reviewed.review.id;
  only.visits = reviewed.review.visits;
  only.moments = {worthy.moment};
  ReportCaseOptions options;
  options.assets_folder = assets;
  // No case lies there: earlier ones are not asked for.
  options.earlier_folders = {reviewed.entry->folder + "/cache"};
  const auto report =
      ReportOfReview(reviewed.entry->folder, reviewed.record, only, {}, options, progress, stop, files);
  if (!report.ok() || report->moments.empty()) return std::nullopt;
  const MomentRow& row = report->moments.front();
  ShownMoment shown{reviewed.entry->date,
                    reviewed.entry->code,
                    row.kind_name,
                    row.title,
                    row.text,
                    worthy.score,
                    FormatClock(row.at.case_seconds),
                    {}};
  // A progress report goes beyond the review of the one case.
  const CaseRecord& record = reviewed.record;
  const bool allowed =
      record.consent.empty() || WhyNotAllowed(record, "local teaching", UtcNow().substr(0, 10)).empty();
  if (row.picture && allowed) shown.picture = report->pictures[*row.picture];
  if (!allowed && HasRecording(reviewed))
    shown.words += fmt::format("{}(No picture: the consent of this case does not reach local teaching.)",
                               shown.words.empty() ? "" : " ");
  return shown;
}

}  // namespace

std::vector<WorthyMoment> WorthyMoments(const Review& review, const std::vector<ScoreSheet>& sheets) {
  std::vector<WorthyMoment> worthy;
  for (const Moment& moment : review.moments) {
    const Standing standing = StandingOf(moment, review, sheets);
    const bool is_complication = moment.kind == MomentKind::kComplication;
    if (!standing.top.empty() && standing.foot.empty() && !is_complication)
      worthy.push_back({moment, true, standing.top});
    else if (!standing.foot.empty() || is_complication || moment.kind == MomentKind::kTeachingPoint)
      worthy.push_back({moment, false, standing.foot});
  }
  return worthy;
}

void TakeMoments(std::vector<CountedCase> cases, const std::string& assets_folder, const Progress& progress,
                 const StopQuery& stop, FileSystem& files, PersonRecord& person) {
  std::reverse(cases.begin(), cases.end());
  std::stable_partition(cases.begin(), cases.end(), HasRecording);
  for (const CountedCase& reviewed : cases) {
    if (person.best.size() >= kMostMoments && person.moments.size() >= kMostMoments) return;
    const auto sheets = SheetsUsed(reviewed.entry->folder, reviewed.review, assets_folder, files);
    for (const WorthyMoment& worthy : WorthyMoments(reviewed.review, sheets)) {
      std::vector<ShownMoment>& among = worthy.is_best ? person.best : person.moments;
      if (among.size() >= kMostMoments || Stopped(stop)) continue;
      if (auto shown = Shown(reviewed, worthy, assets_folder, progress, stop, files))
        among.push_back(std::move(*shown));
    }
  }
}

}  // namespace afterscope
