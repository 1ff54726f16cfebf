// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/demo_case.hpp"

#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "annotate/jobs/phantom/phantom_case.hpp"
#include "annotate/jobs/phantom/phantom_truth.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>
#include <utility>

namespace afterscope {
namespace {

std::vector<std::string> RecordingPaths(const DemoCase& demo, const DemoPlaces& places) {
  const char* ending = demo.format.container == WrittenContainer::kMp4 ? "mp4" : "ts";
  std::vector<std::string> paths;
  paths.reserve(static_cast<std::size_t>(demo.files));
  for (int i = 0; i < demo.files; ++i)
    paths.push_back(demo.files == 1
                        ? fmt::format("{}/{}.{}", places.Recordings(), demo.record.code, ending)
                        : fmt::format("{}/{}_{}.{}", places.Recordings(), demo.record.code, i + 1, ending));
  return paths;
}

EditGroup NoteMoments(const DemoCase& demo, const phantom::Script& script, const PhantomFrames& frames) {
  EditGroup group{"Note the moments", {}};
  int number = 0;
  for (const DemoMoment& noted : demo.moments) {
    const phantom::StepSpan* step = script.Step(noted.step);
    if (!step) continue;
    Moment moment = noted.moment;
    moment.id = {fmt::format("moment-{}", ++number)};
    const double instant = step->start_s + noted.share * (step->end_s - step->start_s);
    // A moment is a frame: not the end of a recording.
    moment.at = frames.refs[std::min(frames.IndexAt(instant), frames.refs.size() - 1)];
    group.edits.push_back(Put<Moment>{std::move(moment)});
  }
  return group;
}

EditGroup SayWhatWasSeen(const DemoCase& demo) {
  EditGroup group{"Checks and words", {}};
  for (const auto& [key, state] : demo.checks) group.edits.push_back(SetCheck{key, state});
  if (!(demo.assessment == Assessment{})) group.edits.push_back(SetAssessment{demo.assessment});
  return group;
}

Result<std::vector<Finding>> ReviewAndMeasure(const DemoCase& demo, const phantom::Phantom& phantom,
                                              const PhantomFrames& frames, const std::string& case_folder,
                                              const DemoReviewing& reviewing, FileSystem& files) {
  CaseRecord record = demo.record;
  AFTERSCOPE_TRY(AddRecordings(frames, case_folder, record));
  AFTERSCOPE_TRY(CaseSession::Create(case_folder, record, files));
  OpenCaseOptions options;
  options.reviewer_code = reviewing.reviewer;
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session,
                    CaseSession::Open(case_folder, options, files));
  ReviewerOptions marking;
  marking.seed = demo.scene.seed;
  for (const EditGroup& group : {TagSteps(phantom.script(), frames, demo.record.supervisor_code),
                                 MarkOutlines(phantom, frames, marking), MarkTrail(phantom, frames, marking),
                                 NoteMoments(demo, phantom.script(), frames), SayWhatWasSeen(demo),
                                 GiveScores(demo.scores, reviewing.sheet)})
    if (!group.edits.empty()) AFTERSCOPE_TRY(session->Commit(group));
  if (!demo.scores.empty()) AFTERSCOPE_TRY(KeepScoreSheet(reviewing.sheet, case_folder, files));
  return MeasureReview(session->record(), session->review(), reviewing.steps, MeasureOptions{});
}

}  // namespace

Result<DemoReviewing> LoadDemoReviewing(const DemoSeries& series, const std::string& assets_folder,
                                        FileSystem& files) {
  DemoReviewing reviewing;
  reviewing.reviewer = series.reviewer;
  reviewing.second_reviewer = series.second_reviewer;
  AFTERSCOPE_ASSIGN(reviewing.steps, LoadStepList(series.cases.front().record, "", assets_folder, files));
  AFTERSCOPE_ASSIGN(reviewing.sheet, FindScoreSheet(series.score_sheet, "", assets_folder, files));
  return reviewing;
}

EditGroup GiveScores(const std::map<std::string, double>& scores, const ScoreSheet& sheet) {
  EditGroup group{"Score", {}};
  for (const auto& [item, value] : scores)
    if (sheet.Find(item)) group.edits.push_back(Put<Score>{{{sheet.id, item}, value, "", {}}});
  return group;
}

Result<DemoOutcome> MakeDemoCase(const DemoCase& demo, const DemoPlaces& places,
                                 const DemoReviewing& reviewing, const Progress& progress,
                                 const StopQuery& stop, FileSystem& files) {
  const phantom::Phantom phantom(demo.scene);
  const std::vector<double> seconds = PhantomFrameTimes(demo.scene.seconds, demo.format, demo.scene.seed);
  const std::vector<std::string> paths = RecordingPaths(demo, places);
  AFTERSCOPE_ASSIGN(const std::vector<std::size_t> starts,
                    RecordPhantom(phantom, demo.format, seconds, paths, progress, stop, files));
  AFTERSCOPE_ASSIGN(const PhantomFrames frames, ReadBackPhantom(seconds, starts, paths, stop));
  DemoOutcome outcome;
  outcome.code = demo.record.code;
  outcome.date = demo.record.date;
  outcome.operator_code = demo.record.operator_code;
  outcome.case_folder = places.CaseFolder(outcome.code);
  outcome.recordings = paths;
  AFTERSCOPE_ASSIGN(outcome.findings,
                    ReviewAndMeasure(demo, phantom, frames, outcome.case_folder, reviewing, files));
  const PathBand band;
  const auto truth =
      TrueValues(phantom, frames, {demo.record.operator_code, demo.record.supervisor_code}, band);
  outcome.comparisons = CompareWithTruth(truth, outcome.findings);
  AFTERSCOPE_TRY(ReplaceFile(files, places.Truth(outcome.code),
                             CompactText(TruthJson(phantom, frames, truth, band)) + "\n"));
  return outcome;
}

}  // namespace afterscope
