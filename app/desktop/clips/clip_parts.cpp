// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_parts.hpp"

#include "annotate/case/visits.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array kSpeeds{0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0};
constexpr double kFadeSeconds = 0.5;
constexpr double kStillSeconds = 4;

ClipPart Usual(ClipPart part, const Review& review) {
  part.review = review.id.value;
  part.fade_seconds = kFadeSeconds;
  return part;
}

const Moment* MomentOn(const Review& review, FrameRef at) {
  const Moment* here = nullptr;
  for (const Moment& moment : review.moments)
    if (moment.at == at) here = &moment;
  return here;
}

// At most two minutes of a part, round the playhead.
void Shorten(ClipPart& part, const ClipPlace& place) {
  const double start = place.clock.Seconds(part.start), end = place.clock.Seconds(part.end);
  if (end - start <= kQuickClipSeconds) return;
  const double from =
      std::clamp(place.clock.Seconds(place.at) - kQuickClipSeconds / 2, start, end - kQuickClipSeconds);
  if (from > start) part.start = place.clock.At(from);
  if (from + kQuickClipSeconds < end) part.end = place.clock.At(from + kQuickClipSeconds);
}

// Letters and digits, words joined by hyphens.
std::string FileWords(const std::string& text) {
  std::string words;
  for (const char c : text) {
    const auto letter = static_cast<unsigned char>(c);
    if (std::isalnum(letter) != 0 && letter < 128)
      words += static_cast<char>(std::tolower(letter));
    else if (!words.empty() && words.back() != '-')
      words += '-';
    if (words.size() >= 40) break;
  }
  while (!words.empty() && words.back() == '-') words.pop_back();
  return words;
}

// A code as it is, without what a file's name can't hold.
std::string FileCode(std::string code) {
  std::erase_if(code,
                [](unsigned char c) { return std::isalnum(c) == 0 && c != '-' && c != '_' && c < 128; });
  return code.empty() ? "clip" : code;
}

}  // namespace

std::optional<ClipPart> PartOfStepHere(const ClipPlace& place) {
  const StepVisit* visit = RunningVisit(place.review, place.at);
  if (visit == nullptr) return std::nullopt;
  ClipPart part;
  part.start = visit->start;
  part.end = EndOf(place.review, *visit, place.clock.end());
  part.text = place.steps.NameOf(visit->step);
  if (!(part.start < part.end)) return std::nullopt;
  return Usual(std::move(part), place.review);
}

std::vector<ClipPart> PartsOfThisStep(const ClipPlace& place) {
  const StepVisit* visit = RunningVisit(place.review, place.at);
  if (visit == nullptr) return {};
  std::vector<ClipPart> parts = PartsOfSteps(place.review, place.steps, {visit->step}, place.clock.end());
  for (ClipPart& part : parts) part = Usual(std::move(part), place.review);
  return parts;
}

ClipPart StillHere(const ClipPlace& place) {
  ClipPart part;
  part.kind = ClipPartKind::kStill;
  part.start = place.at;
  part.seconds = kStillSeconds;
  if (const Moment* moment = MomentOn(place.review, place.at)) part.text = moment->text;
  return Usual(std::move(part), place.review);
}

ClipPart QuickPart(const ClipPlace& place) {
  const auto step = PartOfStepHere(place);
  const Moment* moment = MomentOn(place.review, place.at);
  if (moment == nullptr && step) {
    ClipPart part = *step;
    Shorten(part, place);
    return part;
  }
  ClipPart part = Usual(PartAround(place.at, place.clock), place.review);
  if (moment != nullptr && !moment->text.empty())
    part.text = moment->text;
  else if (step)
    part.text = step->text;
  return part;
}

double NextPartSpeed(double speed, int direction) {
  if (direction > 0) {
    const auto* next = std::upper_bound(kSpeeds.begin(), kSpeeds.end(), speed + 1e-9);
    return next == kSpeeds.end() ? kSpeeds.back() : *next;
  }
  const auto* at = std::lower_bound(kSpeeds.begin(), kSpeeds.end(), speed - 1e-9);
  return at == kSpeeds.begin() ? kSpeeds.front() : *(at - 1);
}

std::size_t MovePart(std::vector<ClipPart>& parts, std::size_t index, int direction) {
  const std::size_t to = direction < 0 ? index - 1 : index + 1;
  if (index >= parts.size() || to >= parts.size()) return index;
  std::swap(parts[index], parts[to]);
  return to;
}

double PartSeconds(const ClipPart& part, const CaseClock& clock) {
  if (part.kind != ClipPartKind::kStretch) return part.seconds;
  return (clock.Seconds(part.end) - clock.Seconds(part.start)) / part.speed;
}

double PlanSeconds(const ClipPlan& plan, const CaseClock& clock) {
  double seconds = 0;
  for (const ClipPart& part : plan.parts) seconds += PartSeconds(part, clock);
  return seconds;
}

std::string PartTitle(const ClipPart& part, std::size_t index) {
  return part.text.empty() ? fmt::format("Part {}", index + 1) : part.text;
}

std::string ClipFileName(const std::string& code, const std::string& what, const std::string& ending,
                         const std::function<bool(const std::string&)>& taken) {
  const std::string words = FileWords(what);
  const std::string base = words.empty() ? FileCode(code) : FileCode(code) + "-" + words;
  std::string name = base + ending;
  for (int number = 2; taken(name); ++number) name = fmt::format("{}-{}{}", base, number, ending);
  return name;
}

void ClipBook::Open(ClipPlan plan) {
  plan_ = std::move(plan);
  before_.clear();
  after_.clear();
  ++revision_;
}

void ClipBook::Change(ClipPlan next, bool goes_on) {
  if (next == plan_) return;
  ClipPlan was = std::exchange(plan_, std::move(next));
  if (!goes_on || before_.empty()) before_.push_back(std::move(was));
  after_.clear();
  ++revision_;
}

bool ClipBook::Undo() {
  if (before_.empty()) return false;
  after_.push_back(std::exchange(plan_, before_.back()));
  before_.pop_back();
  ++revision_;
  return true;
}

bool ClipBook::Redo() {
  if (after_.empty()) return false;
  before_.push_back(std::exchange(plan_, after_.back()));
  after_.pop_back();
  ++revision_;
  return true;
}

}  // namespace afterscope
