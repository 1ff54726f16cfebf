// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/verify/run_phantom.hpp"

#include "annotate/jobs/follow/follow_review.hpp"
#include "annotate/jobs/follow/follow_trail.hpp"
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/measure/prepared_trail.hpp"
#include "annotate/jobs/phantom/followed_truth.hpp"
#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "annotate/jobs/phantom/phantom_case.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/followed_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr double kSecondsBetweenTips = 4;
constexpr double kAfterCompletion = 1, kAtTheEnd = 3;  // seconds recorded
constexpr int kRounds = 2;
constexpr std::size_t kTipsARound = 2;
constexpr double kShareOfRecording = 0.35, kShareOfRound = 0.2;  // of the work, for progress

// Common practice, no source: what the lists ask of the steps that are not recorded here.
const char* const kZoneStep = "rhexis";
constexpr double kZoneShare = 0.5;

const char* const kOperator = "operator";
const char* const kSupervisor = "supervisor";

// The simulated reviewer at a case, with what it knows of the phantom.
struct Reviewer {
  const phantom::Phantom& phantom;
  const PhantomFrames& frames;
  CaseSession& session;
  ReviewerOptions options;
  Trail trail;

  Status TagAndMark() {
    for (const EditGroup& group :
         {TagSteps(phantom.script(), frames, kSupervisor), MarkOutlines(phantom, frames, options),
          MarkGrasps(phantom, frames, options)})
      AFTERSCOPE_TRY(session.Commit(group));
    return {};
  }

  Status SetTipsOn(const std::vector<FrameRef>& at, std::uint64_t round) {
    const Trail set = SetTips(phantom, frames, options, at, round);
    if (trail.id.value.empty())
      trail = set;
    else
      for (const TrailPoint& p : set.points) trail.points.push_back(p);
    std::sort(trail.points.begin(), trail.points.end(),
              [](const TrailPoint& a, const TrailPoint& b) { return a.at < b.at; });
    return session.Commit({"Set the tip", {Put<Trail>{trail}}});
  }

  // Every few seconds of the step, and on its last frame in the eye.
  Status SetFirstTips() {
    std::vector<FrameRef> at;
    for (const phantom::ToolUse& use : phantom.script().tools) {
      if (use.tool != phantom::Tool::kForceps) continue;
      for (double t = use.enter_s; t < use.leave_s - kSecondsBetweenTips / 2; t += kSecondsBetweenTips)
        at.push_back(frames.refs[frames.IndexAt(t)]);
      at.push_back(frames.refs[frames.IndexAt(use.leave_s) - 1]);
    }
    return SetTipsOn(at, 0);
  }
};

// On the frames that the program offers, the least believed first.
std::vector<FrameRef> Doubted(const Followed& followed) {
  std::vector<FrameRef> out;
  for (const FollowedTrail& trail : followed.trails)
    for (const std::size_t i : DoubtfulTips(trail, kTipsARound)) out.push_back(trail.tips[i].at);
  return out;
}

Status FollowWithHelp(const std::string& case_folder, Reviewer& reviewer, const Progress& progress,
                      const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_TRY(reviewer.SetFirstTips());
  for (int round = 0;; ++round) {
    const auto part = [&](double share) {
      const double before = round == 0 ? 0 : 1 - kShareOfRound * (kRounds + 1 - round);
      Report(progress, before + share * (round == 0 ? 1 - kShareOfRound * kRounds : kShareOfRound));
    };
    AFTERSCOPE_ASSIGN(const FollowOutcome outcome,
                      FollowReview(case_folder, reviewer.session.record(), reviewer.session.review(), {},
                                   part, stop, files));
    const std::vector<FrameRef> doubted = Doubted(outcome.followed);
    if (round == kRounds || doubted.empty()) return {};
    AFTERSCOPE_TRY(reviewer.SetTipsOn(doubted, static_cast<std::uint64_t>(round) + 1));
  }
}

// Over what time the tip and the eye are measured.
FollowedTime TimeOfFollowed(const CaseSession& session, const StepList& steps, const MeasureOptions& options,
                            const Followed& followed, const PhantomFrames& frames) {
  const Review whole = WithFollowed(session.review(), followed);
  const MeasureContext context(session.record(), whole, steps, options, followed);
  FollowedTime out;
  out.zone_share = steps.Find(kZoneStep)->tip_within;
  for (const Trail& trail : whole.trails) {
    for (const TipStretch& stretch : PrepareTrail(context, trail).stretches)
      if (stretch.size() >= kLeastTipPositions)
        out.path.push_back({stretch.front().seconds, stretch.back().seconds});
    for (const std::vector<TrailPoint>& run : TrailRuns(context, trail)) {
      TipStretch places;
      for (const TrailPoint& p : run) places.push_back({context.clock.Seconds(p.at), {}});
      for (const TipStretch& stretch : SplitAtGaps(places))
        out.zone.push_back({stretch.front().seconds, stretch.back().seconds});
    }
  }
  for (const FollowedEye& eye : followed.eyes) {
    FollowedTime::Eye trusted{eye.recording, {}, {}};
    for (const EyeAtFrame& frame : eye.frames) {
      const auto seconds = frames.SecondsOf(frame.at);
      if (seconds && frame.pose.trust >= kLeastTrust) trusted.seconds.push_back(*seconds);
    }
    for (const EyeSight& sight : eye.sights) {
      const bool seen = sight.eye.limbus.trust >= kLeastTrust && sight.eye.pupil.trust >= kLeastTrust;
      if (const auto seconds = frames.SecondsOf(sight.at); seconds && seen)
        trusted.pupil_seconds.push_back(*seconds);
    }
    out.eyes.push_back(std::move(trusted));
  }
  return out;
}

std::vector<TrueValue> TruthOf(const phantom::Phantom& phantom, const PhantomFrames& frames,
                               const FollowedTime& time) {
  const PathBand band;
  const WhoOperates who{kOperator, kSupervisor};
  std::vector<TrueValue> out = TrueValues(phantom, frames, who, band);
  // Steps of which nothing was recorded have no visit.
  std::set<std::optional<std::string>> unseen;
  for (const TrueValue& v : out)
    if (v.name == "time.step_total" && v.value == 0) unseen.insert(v.step);
  std::erase_if(out, [&](const TrueValue& v) {
    return v.name.starts_with("path.") || (v.step && unseen.contains(v.step));
  });
  for (TrueValue& value : TrueFollowed(phantom, who, time, band)) out.push_back(std::move(value));
  return out;
}

void Compare(const phantom::Phantom& phantom, const PhantomFrames& frames, const CaseSession& session,
             const StepList& steps, const Followed& followed, VerifiedPhantom& out) {
  const MeasureOptions options;
  const auto findings = MeasureReview(session.record(), session.review(), steps, options, followed);
  const FollowedTime time = TimeOfFollowed(session, steps, options, followed, frames);
  out.findings = CompareWithTruth(TruthOf(phantom, frames, time), findings);
  for (const FollowedEye& eye : followed.eyes)
    for (PictureCheck& check : CheckEye(phantom, frames, eye)) {
      check.what += fmt::format(", file {}", eye.recording + 1);
      out.pictures.push_back(std::move(check));
    }
  for (const FollowedTrail& trail : followed.trails) {
    for (PictureCheck& check : CheckTip(phantom, frames, trail)) out.pictures.push_back(std::move(check));
    out.tips_followed += trail.tips.size();
  }
}

// From the first cut to the completed rhexis, and the end: the frames' seconds, and where each of the two
// files starts.
std::pair<std::vector<double>, std::vector<std::size_t>> RecordedFrames(const VerifyPhantom& plan,
                                                                        const phantom::Script& script) {
  std::vector<double> all = PhantomFrameTimes(plan.scene.seconds, plan.format, plan.scene.seed);
  const double completed = CompletionInstant(script) + kAfterCompletion, end = script.seconds - kAtTheEnd;
  std::erase_if(all, [&](double t) { return t > completed && t < end; });
  const auto second = std::find_if(all.begin(), all.end(), [&](double t) { return t >= end; });
  return {all, {0, static_cast<std::size_t>(second - all.begin())}};
}

CaseRecord CaseOf(const VerifyPhantom& plan) {
  CaseRecord record;
  record.code = plan.name;
  record.operator_code = kOperator;
  record.supervisor_code = kSupervisor;
  record.planned_rhexis_mm = 5.2;
  StateEye(plan.scene.eye, record);
  return record;
}

}  // namespace

StepList VerifySteps(StepList steps) {
  if (!steps.Find(kZoneStep)) steps.steps.push_back({kZoneStep, "Rhexis", {}, false, 0});
  for (StepKind& step : steps.steps)
    if (step.key == kZoneStep) step.tip_within = kZoneShare;
  return steps;
}

Result<VerifiedPhantom> RunPhantom(const VerifyPhantom& plan, const std::string& folder,
                                   const StepList& steps, const Progress& progress, const StopQuery& stop,
                                   FileSystem& files) {
  const phantom::Phantom phantom(plan.scene);
  const auto [seconds, starts] = RecordedFrames(plan, phantom.script());
  const char* ending = plan.format.container == WrittenContainer::kMp4 ? "mp4" : "ts";
  std::vector<std::string> paths;
  for (int part : {1, 2}) paths.push_back(fmt::format("{}/{}_{}.{}", folder, plan.name, part, ending));
  const auto recording = [&](double share) { Report(progress, kShareOfRecording * share); };
  AFTERSCOPE_TRY(RecordPhantom(phantom, plan.format, seconds, starts, paths, recording, stop, files));
  AFTERSCOPE_ASSIGN(const PhantomFrames frames, ReadBackPhantom(seconds, starts, paths, stop));
  const std::string case_folder = folder + "/" + plan.name;
  CaseRecord record = CaseOf(plan);
  AFTERSCOPE_TRY(AddRecordings(frames, case_folder, record));
  AFTERSCOPE_TRY(CaseSession::Create(case_folder, record, files));
  OpenCaseOptions open;
  open.reviewer_code = "simulated";
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session, CaseSession::Open(case_folder, open, files));
  Reviewer reviewer{phantom, frames, *session, {}, {}};
  reviewer.options.marking_sd_px = kReviewerPointSdPx;
  reviewer.options.shared_sd_px = kReviewerSharedSdPx;
  reviewer.options.seed = plan.scene.seed;
  AFTERSCOPE_TRY(reviewer.TagAndMark());
  const auto following = [&](double share) {
    Report(progress, kShareOfRecording + (1 - kShareOfRecording) * share);
  };
  AFTERSCOPE_TRY(FollowWithHelp(case_folder, reviewer, following, stop, files));
  const Followed followed = LoadFollowed(case_folder, session->review().id, files);
  VerifiedPhantom out{
      plan.name, plan.difficulty, plan.recorded, seconds.size(), reviewer.trail.points.size(), 0, {}, {}};
  Compare(phantom, frames, *session, VerifySteps(steps), followed, out);
  return out;
}

}  // namespace afterscope
