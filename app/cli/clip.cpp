// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/case_links.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/clip_call.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>

namespace afterscope {
namespace {

// Proposes covers for burnt-in words, and sets them when told.
Status CoverText(const ClipCall& call) {
  OpenCaseOptions open;
  open.read_only = !call.cover_text;
  if (!call.review.empty()) open.review = ReviewId{call.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(call.folder, open));
  if (call.cover_text) AFTERSCOPE_TRY(session->Writable());
  TellCautions(*session);
  AFTERSCOPE_ASSIGN(const auto found,
                    FindBurntInText(call.folder, session->record(),
                                    ConsoleProgress("Looking for burnt-in words"), ConsoleStop()));
  for (const FoundText& text : found) {
    const PointPx a = text.area.corner, b = text.area.opposite;
    Say("recording {}\t{:.0f},{:.0f}\t{:.0f},{:.0f}\n", text.at.recording, a.x, a.y, b.x, b.y);
  }
  Say(stderr, "{} found; look through the recording yourself before it is shared.\n",
      found.empty() ? "No burnt-in words were" : "These areas were");
  if (!call.cover_text || found.empty()) return {};
  AFTERSCOPE_TRY(session->Commit(CoverEdits(found, [&] { return session->NewMarkId(); })));
  SaveCheckpointOrTell(*session);
  return {};
}

Status Write(const ClipCall& call, const ClipPlan& plan) {
  ClipOptions make = call.make;
  make.today = Today();
  if (call.output.ends_with(".png")) {
    AFTERSCOPE_ASSIGN(const auto names, MakeStills(call.folder, plan, call.output, make,
                                                   ConsoleProgress("Making the stills"), ConsoleStop()));
    for (const std::string& name : names) Say("{}\n", name);
    return {};
  }
  AFTERSCOPE_ASSIGN(const ClipDone done, MakeClip(call.folder, plan, call.output, make,
                                                  ConsoleProgress("Making the clip"), ConsoleStop()));
  for (const std::string& caution : done.cautions) Say(stderr, "{}\n", caution);
  for (const std::string& sentence : done.left_behind) Say(stderr, "{}\n", sentence);
  Say("{}\n", call.output);
  if (!done.caption_file.empty()) Say("{}\n", done.caption_file);
  return {};
}

Status Clip(const ClipCall& call) {
  if (call.ThingsBesidesClip() + int{!call.output.empty() || !call.save.empty()} > 1)
    return BadCall(
        "Ask for one thing at a time: a clip, its covers, a take, or captions, chapters and steps.");
  if (const auto links = LinksBesides(call.folder); !links.ok()) return links.error();
  if (call.find_text || call.cover_text) return CoverText(call);
  bool done = false;
  AFTERSCOPE_TRY(DoVoice(call, done));
  if (done) return {};
  if (call.WaysToSayParts() != 1)
    return BadCall(
        "Say in one way what the clip shows: --plan NAME, or --step, --moment, --take, or --from and --to.");
  if (!call.words.empty())
    return BadCall("--words goes with --add-take, or with --take to change its words.");
  if (!call.sound_file.empty() && call.sound != "file")
    return BadCall("--sound-file goes with --sound file.");
  if (!call.plan.empty() && !call.of_new_plan.empty())
    return BadCall(fmt::format("{} is not for a kept plan, which says it itself.", call.of_new_plan));
  if (call.output.empty() && call.save.empty())
    return BadCall("Give a file to write by -o, or keep the plan by --save.");
  ClipPlan plan;
  if (call.plan.empty()) {
    AFTERSCOPE_ASSIGN(plan, NewPlan(call));
  } else {
    AFTERSCOPE_ASSIGN(plan, LoadClipPlan(call.folder, call.plan));
  }
  if (!call.save.empty()) {
    plan.name = call.save;
    AFTERSCOPE_TRY(SaveClipPlan(call.folder, plan));
    Say("{}/clips/{}.json\n", call.folder, plan.name);
  }
  return call.output.empty() ? Status() : Write(call, plan);
}

}  // namespace

Command ClipCommand() {
  return {
      "clip", "Cuts a teaching clip that identifies nobody", [](CLI::App& sub) {
        auto call = std::make_shared<ClipCall>();
        sub.add_option("CASEDIR", call->folder, "case folder")->required();
        BindPlan(sub, *call);
        BindVoice(sub, *call);
        sub.add_option("-o,--output", call->output,
                       "file to write: .mp4, .webm, or .png for the stills; never overwritten");
        sub.add_flag("--find-text", call->find_text,
                     "only look for words and clocks burnt into the recordings");
        sub.add_flag("--cover-text", call->cover_text, "and cover what was found, in this and later clips");
        sub.add_option("--purpose", call->make.purpose,
                       "review, 'local teaching' (default) or publication; the case must note the consent")
            ->check(CLI::IsMember({"review", "local teaching", "publication"}));
        sub.add_option("--quality", call->make.quality, "of the picture, 0 (best) to 51")
            ->check(NumberWithin(0, 51));
        sub.add_option("--preset", call->make.preset, "of the H.264 encoder: veryfast to slow")
            ->check(
                CLI::IsMember({"ultrafast", "superfast", "veryfast", "faster", "fast", "medium", "slow"}));
        return [call] {
          const Status done = Clip(*call);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
