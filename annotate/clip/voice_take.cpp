// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/voice_take.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

constexpr double kShortest = 0.06;  // seconds of a part that is made of a take
constexpr double kRests = 0.02;     // seconds of the case in which nothing moved
constexpr double kSlowest = 1.0 / 8, kFastest = 8;
constexpr double kNormalWithin = 0.03;    // of the normal speed: it was meant
constexpr std::size_t kLongestLine = 90;  // bytes, of a caption

// The sample between two others that lies farthest from the straight line between them.
std::pair<std::size_t, double> Farthest(const std::vector<TakeAnchor>& seen, const std::vector<double>& at,
                                        std::size_t from, std::size_t to) {
  std::pair<std::size_t, double> farthest{from, 0.0};
  const double span = seen[to].seconds - seen[from].seconds;
  for (std::size_t i = from + 1; i < to; ++i) {
    const double share = span > 0 ? (seen[i].seconds - seen[from].seconds) / span : 0;
    const double off = std::abs(at[i] - (at[from] + share * (at[to] - at[from])));
    if (off > farthest.second) farthest = {i, off};
  }
  return farthest;
}

bool EndsSentence(std::string_view text, std::size_t i) {
  if (text[i] == '\n') return true;
  const bool stop = text[i] == '.' || text[i] == '!' || text[i] == '?' || text[i] == ';';
  return stop && i + 1 < text.size() && text[i + 1] == ' ';
}

std::vector<std::string_view> Sentences(std::string_view text) {
  std::vector<std::string_view> sentences;
  std::size_t begin = 0;
  const auto add = [&](std::size_t end) {
    while (begin < end && (text[begin] == ' ' || text[begin] == '\n')) ++begin;
    if (begin < end) sentences.push_back(text.substr(begin, end - begin));
    begin = end;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool full = i - begin >= kLongestLine && text[i] == ' ';
    if (full || EndsSentence(text, i)) add(text[i] == '\n' || full ? i : i + 1);
  }
  add(text.size());
  return sentences;
}

// What was on the screen from one anchor to the next.
ClipPart Shown(const TakeAnchor& from, const TakeAnchor& to, double length, const CaseClock& clock) {
  ClipPart part;
  part.start = from.at;
  part.seconds = length;
  const double moved = clock.Seconds(to.at) - clock.Seconds(from.at);
  const double speed = moved / length;
  part.kind = ClipPartKind::kStill;
  if (moved <= kRests || speed < kSlowest || speed > kFastest) return part;
  part.kind = ClipPartKind::kStretch;
  part.end = to.at;
  part.speed = std::abs(speed - 1) < kNormalWithin ? 1 : speed;
  return part;
}

}  // namespace

std::vector<TakeAnchor> PathFrom(const std::vector<TakeAnchor>& seen, double seconds,
                                 const CaseClock& clock) {
  if (seen.empty()) return {};
  std::vector<double> at;
  at.reserve(seen.size());
  for (const TakeAnchor& anchor : seen) at.push_back(clock.Seconds(anchor.at));
  std::vector<bool> kept(seen.size(), false);
  kept.front() = kept.back() = true;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, seen.size() - 1}};
  while (!open.empty()) {
    const auto [from, to] = open.back();
    open.pop_back();
    const auto [farthest, off] = Farthest(seen, at, from, to);
    if (off <= kPathSeconds) continue;
    kept[farthest] = true;
    open.emplace_back(from, farthest);
    open.emplace_back(farthest, to);
  }
  std::vector<TakeAnchor> path;
  for (std::size_t i = 0; i < seen.size(); ++i)
    if (kept[i] && (path.empty() || seen[i].seconds > path.back().seconds)) path.push_back(seen[i]);
  path.front().seconds = 0;
  if (path.back().seconds < seconds)
    path.push_back({seconds, path.back().at});
  else
    path.back().seconds = seconds;
  return path;
}

const VoiceTake* TakeBefore(const std::vector<VoiceTake>& takes, FrameRef at) {
  const VoiceTake* found = nullptr;
  for (const VoiceTake& take : takes)
    if (take.start() <= at && (found == nullptr || found->start() <= take.start())) found = &take;
  return found;
}

std::vector<ClipPart> PartsOfTake(const VoiceTake& take, const CaseClock& clock) {
  std::vector<ClipPart> parts;
  TakeAnchor from = take.path.front();
  double begun = from.seconds;
  for (std::size_t to = 1; to < take.path.size(); ++to) {
    const TakeAnchor& next = take.path[to];
    if (next.seconds - from.seconds < kShortest) {  // a jump, or the last picture
      from.at = next.at;
      continue;
    }
    ClipPart part = Shown({begun, from.at}, next, next.seconds - begun, clock);
    part.voice = true;
    part.take = take.id;
    part.take_from = begun;
    parts.push_back(std::move(part));
    from = next;
    begun = next.seconds;
  }
  return parts;
}

std::vector<VoicePiece> VoiceOfPart(const ClipPart& part, double part_seconds,
                                    const std::vector<VoiceTake>& takes, const CaseClock& clock) {
  std::vector<VoicePiece> pieces;
  if (!part.voice) return pieces;
  const auto add = [&](std::size_t take, double at, double from) {
    const double all = takes[take].seconds - from;
    const double length = std::min(all, part_seconds - at);
    if (all > 0) pieces.push_back({take, at, from, std::max(0.0, length), all - std::max(0.0, length)});
  };
  if (!part.take.empty()) {
    for (std::size_t i = 0; i < takes.size(); ++i)
      if (takes[i].id == part.take) add(i, 0, part.take_from);
    return pieces;
  }
  if (part.kind == ClipPartKind::kTitle) return pieces;
  std::vector<std::pair<double, std::size_t>> begun;
  for (std::size_t i = 0; i < takes.size(); ++i) {
    const FrameRef start = takes[i].start();
    const bool here =
        part.kind == ClipPartKind::kStretch ? part.start <= start && start < part.end : start == part.start;
    if (here) begun.emplace_back((clock.Seconds(start) - clock.Seconds(part.start)) / part.speed, i);
  }
  std::stable_sort(begun.begin(), begun.end());
  double free = 0;
  for (const auto& [at, take] : begun) {
    add(take, std::max(at, free), 0);
    if (!pieces.empty()) free = pieces.back().at + pieces.back().length;
  }
  return pieces;
}

std::string TakeWordsAt(const VoiceTake& take, double seconds) {
  const std::vector<std::string_view> sentences = Sentences(take.words);
  std::size_t all = 0;
  for (const std::string_view sentence : sentences) all += sentence.size();
  if (all == 0 || seconds < 0 || seconds >= take.seconds) return {};
  std::size_t said = 0;
  for (const std::string_view sentence : sentences) {
    said += sentence.size();
    if (seconds * static_cast<double>(all) < take.seconds * static_cast<double>(said))
      return std::string(sentence);
  }
  return std::string(sentences.back());
}

}  // namespace afterscope
