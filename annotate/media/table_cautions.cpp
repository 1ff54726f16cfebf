// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/table_cautions.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

using Frames = std::vector<FrameEntry>;

double Seconds(const OpenedFile& file, const Frames& frames, std::size_t i) {
  return (frames[i].pts - frames.front().pts).Seconds(file.info.time_base);
}

std::string Named(const OpenedFile& file, const Frames& frames, std::size_t i) {
  return fmt::format("frame {} (ticks {}, {:.3f} s)", i, frames[i].pts.ticks, Seconds(file, frames, i));
}

void SayDamage(const OpenedFile& file, const Frames& frames, std::vector<std::string>& out) {
  const auto damaged = [](const FrameEntry& frame) { return frame.damaged; };
  const auto first = std::find_if(frames.begin(), frames.end(), damaged);
  if (first == frames.end()) return;
  const auto count = std::count_if(first, frames.end(), damaged);
  const auto at = static_cast<std::size_t>(first - frames.begin());
  const std::string last_good = at == 0 ? "there is no good frame before it"
                                        : "the last good frame before it is " + Named(file, frames, at - 1);
  out.push_back(fmt::format("{} of {} frames are damaged; {}.", count, frames.size(), last_good));
}

void SayEarlyEnd(const OpenedFile& file, const Frames& frames, std::vector<std::string>& out) {
  if (!file.info.declared_seconds || frames.empty()) return;
  const double end =
      Seconds(file, frames, frames.size() - 1) + frames.back().duration.Seconds(file.info.time_base);
  const double first = static_cast<double>(frames.front().pts.ticks) * file.info.time_base.value();
  // Matroska's duration counts from its time zero, not from the first frame.
  const double before = file.info.container.starts_with("matroska") ? std::max(0.0, first) : 0.0;
  const double missing = *file.info.declared_seconds - before - end;
  const double allowed = std::max(0.5, 3 * frames.back().duration.Seconds(file.info.time_base));
  if (missing <= allowed) return;
  out.push_back(fmt::format(
      "The file declares {:.3f} s but its pictures end after {:.3f} s; the last good frame is {}.",
      *file.info.declared_seconds, end, Named(file, frames, frames.size() - 1)));
}

void SayGaps(const OpenedFile& file, const Frames& frames, std::vector<std::string>& out) {
  std::size_t gaps = 0;
  std::size_t largest = 0;
  for (std::size_t i = 0; i + 1 < frames.size(); ++i) {
    if (frames[i].duration.Seconds(file.info.time_base) < 1.0) continue;
    ++gaps;
    if (frames[i].duration > frames[largest].duration || gaps == 1) largest = i;
  }
  if (gaps == 0) return;
  out.push_back(fmt::format("{} gap{} of a second or more between frames; the longest, {:.3f} s, follows {}.",
                            gaps, gaps == 1 ? "" : "s", frames[largest].duration.Seconds(file.info.time_base),
                            Named(file, frames, largest)));
}

void SayTimestamps(const TableFacts& facts, std::size_t count, std::vector<std::string>& out) {
  if (facts.missing > 0)
    out.push_back(fmt::format("{} of {} frames have no timestamp in the file; theirs were reconstructed.",
                              facts.missing, count));
  if (facts.jumps_back > 0)
    out.push_back(
        fmt::format("Timestamps jump back {} time{}; what follows was moved behind what came before.",
                    facts.jumps_back, facts.jumps_back == 1 ? "" : "s"));
  if (facts.out_of_order > 0)
    out.push_back(fmt::format("{} frame{} had a timestamp not after the one before; put one tick after it.",
                              facts.out_of_order, facts.out_of_order == 1 ? "" : "s"));
}

}  // namespace

std::vector<std::string> TableCautions(const OpenedFile& file, const Frames& frames,
                                       const TableFacts& facts) {
  // A few frames less than packets is ordinary: headers, and pictures that are never shown.
  constexpr std::int64_t kOrdinaryLoss = 64;
  std::vector<std::string> out;
  if (facts.too_large > 0)
    out.push_back(
        fmt::format("{} packet{} of the file's pictures {} larger than this program takes and passed over: "
                    "what is in {} is missing.",
                    facts.too_large, facts.too_large == 1 ? "" : "s", facts.too_large == 1 ? "is" : "are",
                    facts.too_large == 1 ? "it" : "them"));
  if (frames.empty()) {
    out.push_back("No frame could be decoded.");
    return out;
  }
  SayDamage(file, frames, out);
  SayEarlyEnd(file, frames, out);
  SayGaps(file, frames, out);
  SayTimestamps(facts, frames.size(), out);
  if (facts.read_errors > 0)
    out.push_back(fmt::format("The file could not be read to its end; the last good frame is {}.",
                              Named(file, frames, frames.size() - 1)));
  if (facts.undecoded > kOrdinaryLoss)
    out.push_back(fmt::format("{} pictures in the file could not be decoded.", facts.undecoded));
  return out;
}

}  // namespace afterscope
