// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan.hpp"

#include "annotate/case/text.hpp"
#include "annotate/case/visits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLeastSpeed = 1.0 / 8, kMostSpeed = 8;
constexpr double kMostSeconds = 600;  // of a still or a title
constexpr double kMostZoom = 16;
constexpr double kAroundMoment = 120;  // seconds
constexpr double kMostSoundSeconds = 86400;
constexpr std::size_t kMostNotes = 1000;
constexpr std::size_t kMostText = 65536;  // bytes: JsonLimits::text_bytes
constexpr std::size_t kMostWords = 2000;  // bytes, of one thing to be drawn

Error Bad(std::string message) { return {ErrorCode::kBadCall, std::move(message)}; }

bool IsSaneView(const ClipView& view) {
  return view.x >= 0 && view.x <= 1 && view.y >= 0 && view.y <= 1 && view.zoom >= 1 && view.zoom <= kMostZoom;
}

bool IsSaneNote(const ClipNote& note) {
  const auto share = [](double value) { return value >= 0 && value <= 1; };
  return share(note.from_x) && share(note.from_y) && share(note.to_x) && share(note.to_y) &&
         note.text.size() <= kMostWords && note.start >= 0 && note.start < note.end &&
         note.end <= kMostSoundSeconds;
}

bool HasTextsToKeep(const ClipPart& part) {
  return CanBeKept(part.text) && CanBeKept(part.sound_file) && CanBeKept(part.case_folder) &&
         CanBeKept(part.review) && CanBeKept(part.take) &&
         std::all_of(part.notes.begin(), part.notes.end(),
                     [](const ClipNote& note) { return CanBeKept(note.text); });
}

Status CheckPart(const ClipPart& part, std::size_t number) {
  const auto bad = [&](const char* what) {
    return Bad(fmt::format("Part {} of the clip {}.", number, what));
  };
  if (part.kind == ClipPartKind::kStretch && !(part.start < part.end)) return bad("ends before it starts");
  if (!(part.speed >= kLeastSpeed && part.speed <= kMostSpeed)) return bad("must have a speed from 1/8 to 8");
  if (part.kind != ClipPartKind::kStretch && !(part.seconds > 0 && part.seconds <= kMostSeconds))
    return bad("must last more than 0 and at most 600 s");
  if (part.kind == ClipPartKind::kTitle && part.text.empty()) return bad("is a title without words");
  if (part.text.size() > kMostWords) return bad("has more than 2000 bytes of words");
  if (!IsSaneView(part.view) || !IsSaneView(part.view_at_end))
    return bad("has a view that is not within the picture, or a zoom outside 1 to 16");
  if (!(part.fade_seconds >= 0 && part.fade_seconds <= 10)) return bad("must fade for 0 to 10 s");
  if (part.sound == ClipSound::kFile && part.sound_file.empty()) return bad("names no sound file");
  if (!(part.sound_from >= 0 && part.sound_from <= kMostSoundSeconds) ||
      !(part.take_from >= 0 && part.take_from <= kMostSoundSeconds))
    return bad("must begin its sound at 0 s or later, within a day");
  if (part.notes.size() > kMostNotes || !std::all_of(part.notes.begin(), part.notes.end(), IsSaneNote))
    return bad(
        "has a note that is not within the picture, has more than 2000 bytes, or ends before it starts");
  if (!HasTextsToKeep(part)) return bad("has a text longer than 65536 bytes, or one that is not clean UTF-8");
  return {};
}

}  // namespace

bool CanBeKept(std::string_view text) { return text.size() <= kMostText && IsCleanText(text); }

Status CheckPlan(const ClipPlan& plan) {
  if (plan.parts.empty()) return Bad("The clip has no parts.");
  if (plan.parts.size() > 10000) return Bad("The clip has more than 10 000 parts.");
  if (plan.width < 64 || plan.height < 64 || plan.width > 4096 || plan.height > 4096 || plan.width % 2 != 0 ||
      plan.height % 2 != 0)
    return Bad("A clip's width and height are even and lie between 64 and 4096.");
  if (!plan.rate.valid() || plan.rate.value() < 1 || plan.rate.value() > 120)
    return Bad("A clip has 1 to 120 frames a second.");
  for (std::size_t i = 0; i < plan.parts.size(); ++i) AFTERSCOPE_TRY(CheckPart(plan.parts[i], i + 1));
  return {};
}

std::vector<ClipPart> PartsOfSteps(const Review& review, const StepList& list,
                                   const std::vector<std::string>& steps, FrameRef end_of_case) {
  std::vector<ClipPart> parts;
  for (const StepVisit& visit : review.visits) {
    if (visit.lane != 0 || std::find(steps.begin(), steps.end(), visit.step) == steps.end()) continue;
    ClipPart part;
    part.start = visit.start;
    part.end = EndOf(review, visit, end_of_case);
    part.text = list.NameOf(visit.step);
    if (part.start < part.end) parts.push_back(std::move(part));
  }
  return parts;
}

std::vector<ClipPart> Frozen(const ClipPart& part, FrameRef at, double seconds, const CaseClock& clock) {
  if (part.kind != ClipPartKind::kStretch || at < part.start || !(at < part.end)) return {part};
  const double split = (clock.Seconds(at) - clock.Seconds(part.start)) / part.speed;
  ClipPart before = part, still = part, after = part;
  before.end = after.start = still.start = at;
  still.kind = ClipPartKind::kStill;
  still.seconds = seconds;
  still.text.clear();
  still.fade_seconds = 0;  // it is one picture with what comes before and after
  still.voice = still.voice && part.take.empty();
  still.view = still.view_at_end = part.view;
  still.sound = ClipSound::kMuted;
  before.notes.clear();
  still.notes.clear();
  after.notes.clear();
  for (ClipNote note : part.notes) {
    if (note.start < split) {
      before.notes.push_back(note);
      continue;
    }
    note.start -= split;
    note.end -= split;
    after.notes.push_back(std::move(note));
  }
  after.text.clear();
  after.take_from = part.take.empty() ? 0 : part.take_from + split;
  if (at == part.start) return {still, after};
  return {before, still, after};
}

ClipPart PartAround(FrameRef at, const CaseClock& clock) {
  const double total = clock.TotalSeconds();
  const double length = std::min(kAroundMoment, total);
  const double start = std::clamp(clock.Seconds(at) - length / 2, 0.0, total - length);
  ClipPart part;
  part.start = clock.At(start);
  part.end = start + length >= total ? clock.end() : clock.At(start + length);
  return part;
}

}  // namespace afterscope
