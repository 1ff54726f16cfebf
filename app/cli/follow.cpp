// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"
#include "annotate/jobs/follow/follow_review.hpp"
#include "annotate/jobs/follow/follow_trail.hpp"
#include "annotate/jobs/follow/frame_runs.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/json_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
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

constexpr std::size_t kMostRuns = 20;  // listed in the table

struct FollowCall {
  std::string folder;
  std::string review;
  std::string trail;
  std::string from, to;
  std::size_t doubtful = 10;
  bool only_eye = false;
  bool json = false;
};

double TrustedShare(const FollowedEye& eye) {
  if (eye.frames.empty()) return 0;
  const auto trusted = std::count_if(eye.frames.begin(), eye.frames.end(),
                                     [](const EyeAtFrame& f) { return f.pose.trust >= kLeastTrust; });
  return static_cast<double>(trusted) / static_cast<double>(eye.frames.size());
}

std::vector<ZoomChange> ZoomChangesOf(const FollowedEye& eye, const CaseClock& clock) {
  std::vector<TimedZoom> zooms;
  for (const EyeAtFrame& f : eye.frames)
    if (f.pose.trust >= kLeastTrust) zooms.push_back({clock.Seconds(f.at), f.pose.zoom});
  return FindZoomChanges(zooms);
}

Json JsonOf(const std::vector<FrameRun>& runs, const CaseClock& clock) {
  const auto place = [&](FrameRef at) {
    return Json{{"recording", at.recording}, {"ticks", at.pts.ticks}, {"seconds", clock.Seconds(at)}};
  };
  Json out = Json::array();
  for (const FrameRun& run : runs)
    out.push_back({{"from", place(run.range.start)},
                   {"to", place(run.range.end)},
                   {"frames", run.frames},
                   {"seconds", run.seconds}});
  return out;
}

void PrintRuns(const char* heading, const std::vector<FrameRun>& runs, const CaseClock& clock) {
  if (runs.empty()) return;
  Say("  {}:\n", heading);
  for (const FrameRun& run : LongestRuns(runs, kMostRuns))
    Say("  {} to {}  {} to {}  {} frames, {:.2f} s\n", ReadableTime(clock.Seconds(run.range.start)),
        ReadableTime(clock.Seconds(run.range.end)), TickText(run.range.start), TickText(run.range.end),
        run.frames, run.seconds);
  if (runs.size() > kMostRuns) Say("  and {} shorter ones, which --json lists\n", runs.size() - kMostRuns);
}

Json JsonOf(const FollowedEye& eye, const CaseClock& clock) {
  Json changes = Json::array();
  for (const ZoomChange& c : ZoomChangesOf(eye, clock))
    changes.push_back({{"start_s", c.start_s}, {"end_s", c.end_s}, {"factor", c.after / c.before}});
  return {{"recording", eye.recording},
          {"frames", eye.frames.size()},
          {"followed_share", TrustedShare(eye)},
          {"reference_ticks", eye.reference.ticks},
          {"limbus_trust", eye.reference_eye.limbus.trust},
          {"pupil_trust", eye.reference_eye.pupil.trust},
          {"zoom_changes", std::move(changes)},
          {"lost", JsonOf(RunsWithoutEye(eye, clock), clock)}};
}

Json JsonOf(const FollowedTrail& trail, const CaseClock& clock, std::size_t most) {
  Json doubtful = Json::array();
  for (const std::size_t i : DoubtfulTips(trail, most)) {
    const FollowedTip& tip = trail.tips[i];
    doubtful.push_back({{"recording", tip.at.recording},
                        {"ticks", tip.at.pts.ticks},
                        {"seconds", clock.Seconds(tip.at)},
                        {"seen", tip.tip.has_value()},
                        {"confidence", tip.confidence}});
  }
  return {{"trail", trail.trail.value},      {"recording", trail.recording},
          {"frames", trail.tips.size()},     {"believed_share", BelievedShare(trail)},
          {"doubtful", std::move(doubtful)}, {"gaps", JsonOf(RunsWithoutTip(trail, clock), clock)}};
}

void PrintJson(const FollowOutcome& outcome, const CaseClock& clock, const FollowCall& call) {
  Json eyes = Json::array(), trails = Json::array();
  for (const FollowedEye& eye : outcome.followed.eyes) eyes.push_back(JsonOf(eye, clock));
  for (const FollowedTrail& trail : outcome.followed.trails)
    trails.push_back(JsonOf(trail, clock, call.doubtful));
  const Json all{{"eyes", std::move(eyes)}, {"trails", std::move(trails)}, {"cautions", outcome.cautions}};
  ShowJson(ReadableText(WithExportedNumbers(all)));
}

void PrintTable(const FollowOutcome& outcome, const CaseClock& clock, const FollowCall& call) {
  for (const FollowedEye& eye : outcome.followed.eyes) {
    Say("eye, recording {}: followed on {:.0f} % of {} frames\n", eye.recording + 1, 100 * TrustedShare(eye),
        eye.frames.size());
    for (const ZoomChange& c : ZoomChangesOf(eye, clock))
      Say("  zoom changes by {:.3f} from {} to {}\n", c.after / c.before, ReadableTime(c.start_s),
          ReadableTime(c.end_s));
    PrintRuns("lost, the end not included", RunsWithoutEye(eye, clock), clock);
  }
  for (const FollowedTrail& trail : outcome.followed.trails) {
    Say("trail {}, recording {}: believed on {:.0f} % of {} frames\n", trail.trail.value, trail.recording + 1,
        100 * BelievedShare(trail), trail.tips.size());
    const std::vector<std::size_t> doubtful = DoubtfulTips(trail, call.doubtful);
    if (!doubtful.empty()) Say("  look at:\n");
    for (const std::size_t i : doubtful)
      Say("  {}  {}  {}, confidence {:.2f}\n", ReadableTime(clock.Seconds(trail.tips[i].at)),
          TickText(trail.tips[i].at), trail.tips[i].tip ? "seen" : "not seen", trail.tips[i].confidence);
    PrintRuns("no believed place, the end not included", RunsWithoutTip(trail, clock), clock);
  }
}

Result<FollowRequest> RequestFrom(const FollowCall& call, const CaseSession& session) {
  FollowRequest request;
  if (!call.trail.empty()) request.trail = TrailId{call.trail};
  request.only_eye = call.only_eye;
  CaseTimes times(session);
  for (const auto& [text, place] : {std::pair{&call.from, &request.from}, std::pair{&call.to, &request.to}}) {
    if (text->empty()) continue;
    AFTERSCOPE_ASSIGN(*place, times.Read(*text));
  }
  return request;
}

Status Follow(const FollowCall& call) {
  OpenCaseOptions open;
  if (!call.review.empty()) open.review = ReviewId{call.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(call.folder, open));
  AFTERSCOPE_TRY(session->Writable());
  TellHowItOpened(*session);
  AFTERSCOPE_ASSIGN(const FollowRequest request, RequestFrom(call, *session));
  AFTERSCOPE_ASSIGN(const FollowOutcome outcome,
                    FollowReview(call.folder, session->record(), session->review(), request,
                                 ConsoleProgress("Following"), ConsoleStop()));
  for (const std::string& caution : outcome.cautions) Say(stderr, "{}\n", caution);
  const CaseClock clock(session->record().recordings);
  if (call.json)
    PrintJson(outcome, clock, call);
  else
    PrintTable(outcome, clock, call);
  return {};
}

}  // namespace

Command FollowCommand() {
  return {"follow", "Follows the eye and instrument tips through the frames", [](CLI::App& sub) {
            auto call = std::make_shared<FollowCall>();
            sub.footer(
                "Set points on the tip first (by Shift+T in the window, or tag --trail-points). The tip of "
                "forceps is the point between the ends of their blades, open or closed. Without --trail, "
                "--from and --to the eye is followed through the whole case: its pupil, centring, focus and "
                "zoom come from that. The window does so by Ctrl+Alt+F, as --eye does here.");
            sub.add_option("CASEDIR", call->folder, "case folder")->required();
            auto* trail =
                sub.add_option("--trail", call->trail, "only this trail, and the eye while it lasts");
            sub.add_flag("--eye", call->only_eye,
                         "only the eye; of the tips those that were followed before, where they no longer "
                         "hold")
                ->excludes(trail);
            sub.add_option("--from", call->from, fmt::format("start: {}", kTimeForms));
            sub.add_option("--to", call->to, "end, not included");
            sub.add_option("--review", call->review, "id of the review (default: the newest unsigned one)");
            sub.add_option("--doubtful", call->doubtful, "how many of the least believed frames are listed")
                ->check(NumberWithin(0, 1000))
                ->capture_default_str();
            sub.add_flag("--json", call->json, "JSON on standard output");
            return [call] {
              const Status done = Follow(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
