// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/exchange/step_table.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <memory>

namespace afterscope {
namespace {

struct ClipCommandOptions {
  std::string folder;
  std::string review;
  std::string plan;
  std::vector<std::string> steps;
  std::string moment;
  std::string from, to;
  std::string title;
  std::string save;
  double speed = 1;
  double zoom = 1;
  std::string size = "1280x720";
  std::string rate = "25";
  std::string sound = "muted";
  bool trail = false;
  bool timer = false;
  bool plain = false;
  bool captions_beside = false;
  bool find_text = false;
  bool cover_text = false;
  double fade = 0.5;
  ClipOptions make;
  std::string output;
};

Error Bad(std::string message) { return {ErrorCode::kBadCall, std::move(message)}; }

Result<std::vector<ClipPart>> PartsAsked(const ClipCommandOptions& options, const CaseSession& session,
                                         const StepList& list) {
  const CaseClock clock(session.record().recordings);
  if (!options.steps.empty()) return PartsOfSteps(session.review(), list, options.steps, clock.end());
  if (!options.moment.empty()) {
    const auto& moments = session.review().moments;
    const auto moment = std::find_if(moments.begin(), moments.end(),
                                     [&](const Moment& m) { return m.id.value == options.moment; });
    if (moment == moments.end())
      return Bad(fmt::format("There is no moment '{}' in this review.", options.moment));
    return std::vector{PartAround(moment->at, clock)};
  }
  CaseTimes times(session);
  ClipPart part;
  AFTERSCOPE_ASSIGN(part.start, times.Read(options.from.empty() ? "0" : options.from));
  AFTERSCOPE_ASSIGN(part.end, times.Read(options.to.empty() ? "end" : options.to));
  return std::vector{part};
}

Status SetSize(const std::string& size, const std::string& rate, ClipPlan& plan) {
  const auto cross = size.find('x');
  const auto width = NumberFrom(size.substr(0, cross));
  const auto height = cross == std::string::npos ? std::nullopt : NumberFrom(size.substr(cross + 1));
  if (!width || !height || *width > 1e5 || *height > 1e5)
    return Bad(fmt::format("Can't read --size '{}': give WIDTHxHEIGHT, such as 1280x720.", size));
  plan.width = static_cast<int>(*width);
  plan.height = static_cast<int>(*height);
  const auto frames = RateFrom(rate);
  if (!frames)
    return Bad(fmt::format("Can't read --rate '{}': give frames a second, such as 25 or 30000/1001.", rate));
  plan.rate = *frames;
  return {};
}

Result<ClipPlan> NewPlan(const ClipCommandOptions& options) {
  OpenCaseOptions open;
  open.read_only = true;
  if (!options.review.empty()) open.review = ReviewId{options.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(options.folder, open));
  TellCautions(*session);
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(session->record(), options.folder, AssetsFolder()));
  ClipPlan plan;
  plan.name = options.save;
  plan.burn_captions = !options.captions_beside;
  AFTERSCOPE_TRY(SetSize(options.size, options.rate, plan));
  AFTERSCOPE_ASSIGN(plan.parts, PartsAsked(options, *session, list));
  if (plan.parts.empty())
    return Error{ErrorCode::kNotComputable, fmt::format("The review of '{}' has no visit of {}.",
                                                        options.folder, JoinText(options.steps, ", "))};
  for (ClipPart& part : plan.parts) {
    part.review = options.review;
    part.speed = options.speed;
    part.view.zoom = part.view_at_end.zoom = options.zoom;
    part.outlines = !options.plain;
    part.trail = options.trail;
    part.timer = options.timer;
    part.fade_seconds = options.fade;
    part.sound = options.sound == "original" ? ClipSound::kOriginal : ClipSound::kMuted;
  }
  if (!options.title.empty()) {
    ClipPart title;
    title.kind = ClipPartKind::kTitle;
    title.text = options.title;
    title.fade_seconds = options.fade;
    plan.parts.insert(plan.parts.begin(), std::move(title));
  }
  return plan;
}

// Proposes covers for burnt-in words, and sets them when told.
Status CoverText(const ClipCommandOptions& options) {
  OpenCaseOptions open;
  open.read_only = !options.cover_text;
  if (!options.review.empty()) open.review = ReviewId{options.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(options.folder, open));
  TellCautions(*session);
  AFTERSCOPE_ASSIGN(const auto found,
                    FindBurntInText(options.folder, session->record(),
                                    ConsoleProgress("Looking for burnt-in words"), ConsoleStop()));
  for (const FoundText& text : found) {
    const PointPx a = text.area.corner, b = text.area.opposite;
    fmt::print("recording {}\t{:.0f},{:.0f}\t{:.0f},{:.0f}\n", text.at.recording, a.x, a.y, b.x, b.y);
  }
  fmt::print(stderr, "{} found; look through the recording yourself before it is shared.\n",
             found.empty() ? "No burnt-in words were" : "These areas were");
  if (!options.cover_text || found.empty()) return {};
  AFTERSCOPE_TRY(session->Commit(CoverEdits(found, [&] { return session->NewMarkId(); })));
  SaveCheckpointOrTell(*session);
  return {};
}

Status Clip(const ClipCommandOptions& options) {
  if (options.find_text || options.cover_text) return CoverText(options);
  const bool asks_parts =
      !options.steps.empty() || !options.moment.empty() || !options.from.empty() || !options.to.empty();
  if (options.plan.empty() == !asks_parts)
    return Bad("Say what the clip shows: --plan NAME, or --step, --moment, or --from and --to.");
  if (options.output.empty() && options.save.empty())
    return Bad("Give a file to write by -o, or keep the plan by --save.");
  ClipPlan plan;
  if (options.plan.empty()) {
    AFTERSCOPE_ASSIGN(plan, NewPlan(options));
  } else {
    AFTERSCOPE_ASSIGN(plan, LoadClipPlan(options.folder, options.plan));
  }
  if (!options.save.empty()) {
    plan.name = options.save;
    AFTERSCOPE_TRY(SaveClipPlan(options.folder, plan));
    fmt::print("{}/clips/{}.json\n", options.folder, plan.name);
  }
  if (options.output.empty()) return {};
  ClipOptions make = options.make;
  make.today = Today();
  AFTERSCOPE_ASSIGN(const ClipDone done, MakeClip(options.folder, plan, options.output, make,
                                                  ConsoleProgress("Making the clip"), ConsoleStop()));
  for (const std::string& caution : done.cautions) fmt::print(stderr, "{}\n", caution);
  fmt::print("{}\n", options.output);
  if (!done.caption_file.empty()) fmt::print("{}\n", done.caption_file);
  return {};
}

void BindParts(CLI::App& sub, ClipCommandOptions& options) {
  sub.add_option("--plan", options.plan, "a kept plan, by its name");
  sub.add_option("--step", options.steps, "every visit of these steps")->take_all();
  sub.add_option("--moment", options.moment, "two minutes around a moment, by its id");
  sub.add_option("--from", options.from, "a stretch from this time");
  sub.add_option("--to", options.to, "to this one");
  sub.add_option("--title", options.title, "words of a card at the beginning");
  sub.add_option("--save", options.save, "keep the plan under this name");
}

}  // namespace

Command ClipCommand() {
  return {
      "clip", "Cuts a teaching clip that identifies nobody", [](CLI::App& sub) {
        auto options = std::make_shared<ClipCommandOptions>();
        sub.add_option("CASEDIR", options->folder, "case folder")->required();
        BindParts(sub, *options);
        sub.add_option("-o,--output", options->output, "file to write: .mp4 or .webm; never overwritten");
        sub.add_flag("--find-text", options->find_text,
                     "only look for words and clocks burnt into the recordings");
        sub.add_flag("--cover-text", options->cover_text,
                     "and cover what was found, in this and later clips");
        sub.add_option("--review", options->review, "which review, by its id");
        sub.add_option("--speed", options->speed, "1/8 to 8 times, as a number: 0.125 to 8");
        sub.add_option("--zoom", options->zoom, "into the middle of the picture, 1 to 16");
        sub.add_option("--size", options->size, "WIDTHxHEIGHT");
        sub.add_option("--rate", options->rate, "frames a second");
        sub.add_option("--sound", options->sound, "muted (default), or original: then listen for names first")
            ->check(CLI::IsMember({"muted", "original"}));
        sub.add_option("--fade", options->fade, "seconds from and to black");
        sub.add_flag("--trail", options->trail, "draw the instruments' trails");
        sub.add_flag("--timer", options->timer, "show the time since the beginning of each part");
        sub.add_flag("--plain", options->plain, "draw no outlines and notes");
        sub.add_flag("--captions-beside", options->captions_beside,
                     "captions in a file only, not in the picture");
        sub.add_option("--purpose", options->make.purpose,
                       "review, 'local teaching' (default) or publication; the case must note the consent")
            ->check(CLI::IsMember({"review", "local teaching", "publication"}));
        sub.add_option("--quality", options->make.quality, "of the picture, 0 (best) to 51");
        sub.add_option("--preset", options->make.preset, "of the H.264 encoder: veryfast to slow")
            ->check(
                CLI::IsMember({"ultrafast", "superfast", "veryfast", "faster", "fast", "medium", "slow"}));
        return [options] {
          const Status done = Clip(*options);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
