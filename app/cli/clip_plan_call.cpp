// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/exchange/step_table.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/cli/clip_call.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <system_error>
#include <utility>

namespace afterscope {
namespace {

Result<std::vector<ClipPart>> PartsOfTheTake(const ClipCall& call, const CaseClock& clock) {
  AFTERSCOPE_ASSIGN(const auto takes, LoadTakes(call.folder));
  for (const VoiceTake& take : takes)
    if (take.id == call.take) return PartsOfTake(take, clock);
  return BadCall(fmt::format("There is no take '{}' of the narration; --takes lists them.", call.take));
}

Result<std::vector<ClipPart>> PartsAsked(const ClipCall& call, const CaseSession& session,
                                         const StepList& list) {
  const CaseClock clock(session.record().recordings);
  if (!call.steps.empty()) return PartsOfSteps(session.review(), list, call.steps, clock.end());
  if (!call.take.empty()) return PartsOfTheTake(call, clock);
  if (!call.moment.empty()) {
    const auto& moments = session.review().moments;
    const auto moment = std::find_if(moments.begin(), moments.end(),
                                     [&](const Moment& m) { return m.id.value == call.moment; });
    if (moment == moments.end())
      return BadCall(fmt::format("There is no moment '{}' in this review.", call.moment));
    return std::vector{PartAround(moment->at, clock)};
  }
  CaseTimes times(session);
  ClipPart part;
  AFTERSCOPE_ASSIGN(part.start, times.Read(call.from.empty() ? "0" : call.from));
  AFTERSCOPE_ASSIGN(part.end, times.Read(call.to.empty() ? "end" : call.to));
  return std::vector{part};
}

// "TIME=SECONDS": the part that shows that frame stands still there.
Status Freeze(const std::string& text, const CaseSession& session, std::vector<ClipPart>& parts) {
  const auto equals = text.find('=');
  const auto seconds = equals == std::string::npos ? std::optional(3.0) : NumberFrom(text.substr(equals + 1));
  if (!seconds || !(*seconds > 0))
    return BadCall(fmt::format("Can't read --freeze '{}': give TIME=SECONDS, such as 0:42=3.", text));
  CaseTimes times(session);
  AFTERSCOPE_ASSIGN(const FrameRef at, times.Read(text.substr(0, equals)));
  const CaseClock clock(session.record().recordings);
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const std::vector<ClipPart> frozen = Frozen(parts[i], at, *seconds, clock);
    if (frozen.size() == 1) continue;
    const auto place = parts.erase(parts.begin() + static_cast<std::ptrdiff_t>(i));
    parts.insert(place, frozen.begin(), frozen.end());
    return {};
  }
  return BadCall(fmt::format("No part of the clip shows the frame at '{}', to stand still there.",
                             text.substr(0, equals)));
}

// The parts of one case; `named` is how the plan names its folder.
Result<std::vector<ClipPart>> PartsOfCase(const ClipCall& call, const std::string& folder,
                                          const std::string& named) {
  OpenCaseOptions open;
  open.read_only = true;
  if (!call.review.empty() && named.empty()) open.review = ReviewId{call.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
  TellHowItOpened(*session);
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(session->record(), folder, AssetsFolder()));
  AFTERSCOPE_ASSIGN(std::vector<ClipPart> parts, PartsAsked(call, *session, list));
  for (ClipPart& part : parts) {
    part.case_folder = named;
    if (named.empty()) part.review = call.review;
    if (!call.also.empty()) part.text += ", " + session->record().code;
    if (call.take.empty()) part.speed = call.speed;
  }
  if (named.empty())
    for (const std::string& freeze : call.freeze) AFTERSCOPE_TRY(Freeze(freeze, *session, parts));
  return parts;
}

Status ReadView(const std::string& text, const char* option, ClipView& view) {
  if (text.empty()) return {};
  std::vector<double> numbers;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    const auto number = NumberFrom(text.substr(at, comma - at));
    if (!number) break;
    numbers.push_back(*number);
    at = comma + 1;
  }
  if (numbers.size() != 3)
    return BadCall(fmt::format(
        "Can't read {} '{}': give X,Y,ZOOM, such as 0.5,0.4,2 (shares of the picture).", option, text));
  view = {numbers[0], numbers[1], numbers[2]};
  return {};
}

Status SetSize(const ClipCall& call, ClipPlan& plan) {
  const auto cross = call.size.find('x');
  const auto width = NumberFrom(call.size.substr(0, cross));
  const auto height = cross == std::string::npos ? std::nullopt : NumberFrom(call.size.substr(cross + 1));
  if (!width || !height || *width > 1e5 || *height > 1e5)
    return BadCall(fmt::format("Can't read --size '{}': give WIDTHxHEIGHT, such as 1280x720.", call.size));
  plan.width = static_cast<int>(*width);
  plan.height = static_cast<int>(*height);
  const auto frames = RateFrom(call.rate);
  if (!frames)
    return BadCall(
        fmt::format("Can't read --rate '{}': give frames a second, such as 25 or 30000/1001.", call.rate));
  plan.rate = *frames;
  return {};
}

Status SetLook(const ClipCall& call, std::vector<ClipPart>& parts) {
  ClipView view{0.5, 0.5, call.zoom};
  AFTERSCOPE_TRY(ReadView(call.view, "--view", view));
  ClipView at_end = view;
  AFTERSCOPE_TRY(ReadView(call.view_at_end, "--view-at-end", at_end));
  std::string sound_file;
  if (call.sound == "file") {
    if (call.sound_file.empty()) return BadCall("Give the sound file by --sound-file.");
    AFTERSCOPE_ASSIGN(sound_file, KeepSoundFile(call.folder, call.sound_file));
  }
  for (ClipPart& part : parts) {
    part.view = view;
    part.view_at_end = at_end;
    part.outlines = part.dial = !call.plain;
    part.findings = call.findings;
    part.trail = call.trail;
    part.timer = call.timer;
    if (call.take.empty() && call.freeze.empty()) part.fade_seconds = call.fade;
    part.voice = part.voice || call.voice;
    if (call.sound == "original") part.sound = ClipSound::kOriginal;
    if (call.sound == "file") part.sound = ClipSound::kFile;
    part.sound_file = sound_file;
  }
  return {};
}

}  // namespace

Result<ClipPlan> NewPlan(const ClipCall& call) {
  if (!call.also.empty() && call.steps.empty()) return BadCall("--also goes with --step.");
  ClipPlan plan;
  plan.name = call.save;
  plan.burn_captions = !call.captions_beside;
  AFTERSCOPE_TRY(SetSize(call, plan));
  AFTERSCOPE_ASSIGN(plan.parts, PartsOfCase(call, call.folder, {}));
  for (const std::string& folder : call.also) {
    std::error_code unknown;  // opening it says why
    const std::string named = std::filesystem::proximate(folder, call.folder, unknown).string();
    AFTERSCOPE_ASSIGN(const std::vector<ClipPart> more, PartsOfCase(call, folder, named));
    plan.parts.insert(plan.parts.end(), more.begin(), more.end());
  }
  if (plan.parts.empty())
    return Error{ErrorCode::kNotComputable, fmt::format("The review of '{}' has no visit of {}.", call.folder,
                                                        JoinText(call.steps, ", "))};
  AFTERSCOPE_TRY(SetLook(call, plan.parts));
  if (!call.title.empty()) {
    ClipPart title;
    title.kind = ClipPartKind::kTitle;
    title.text = call.title;
    title.fade_seconds = call.fade;
    plan.parts.insert(plan.parts.begin(), std::move(title));
  }
  return plan;
}

void BindPlan(CLI::App& sub, ClipCall& call) {
  sub.add_option("--plan", call.plan, "a kept plan, by its name");
  sub.add_option("--step", call.steps, "every visit of these steps")->take_all();
  sub.add_option("--also", call.also, "the same steps of further cases, which lie beside this one")
      ->take_all();
  sub.add_option("--moment", call.moment, "two minutes around a moment, by its id");
  sub.add_option("--from", call.from, fmt::format("a stretch from this time: {}", kTimeForms));
  sub.add_option("--to", call.to, "to this one");
  sub.add_option("--take", call.take, "what was on the screen while this take was spoken, with its sound");
  sub.add_option("--title", call.title, "words of a card at the beginning");
  sub.add_option("--save", call.save, "keep the plan under this name");
  sub.add_option("--review", call.review, "which review, by its id");
  sub.add_option("--speed", call.speed, "1/8 to 8 times, as a number: 0.125 to 8")->check(AnyNumber());
  sub.add_option("--freeze", call.freeze, "stand still at a frame: TIME=SECONDS")->take_all();
  sub.add_option("--zoom", call.zoom, "into the middle of the picture, 1 to 16")->check(AnyNumber());
  sub.add_option("--view", call.view, "what is seen: X,Y,ZOOM, the middle in shares of the picture");
  sub.add_option("--view-at-end", call.view_at_end, "and at the end of each part, moved to slowly");
  sub.add_option("--size", call.size, "WIDTHxHEIGHT");
  sub.add_option("--rate", call.rate, "frames a second");
  sub.add_option("--sound", call.sound,
                 "muted (default); original: listen for names first; file: with --sound-file")
      ->check(CLI::IsMember({"muted", "original", "file"}));
  sub.add_option("--sound-file", call.sound_file, "a sound file, copied into the case's clips");
  sub.add_flag("--voice", call.voice, "the narration's takes over it, other sound lowered under them");
  sub.add_option("--fade", call.fade, "seconds from and to black")->check(AnyNumber());
  sub.add_flag("--trail", call.trail, "draw the instruments' trails");
  sub.add_flag("--timer", call.timer, "show the time since the beginning of each part");
  sub.add_flag("--findings", call.findings, "write what was measured of a rhexis beside its outline");
  sub.add_flag("--plain", call.plain, "draw no outlines, dial and notes");
  sub.add_flag("--captions-beside", call.captions_beside, "captions in a file only, not in the picture");
  for (const char* option : {"--also", "--title", "--review", "--speed", "--freeze", "--zoom", "--view",
                             "--view-at-end", "--size", "--rate", "--sound", "--sound-file", "--voice",
                             "--fade", "--trail", "--timer", "--findings", "--plain", "--captions-beside"})
    sub.get_option(option)->each([&call, option](const std::string&) { call.of_new_plan = option; });
}

}  // namespace afterscope
