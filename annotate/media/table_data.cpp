// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/table_data.hpp"

#include "annotate/media/timestamp_repair.hpp"

#include <algorithm>
#include <numeric>

namespace afterscope {
namespace {

std::optional<std::int64_t> Known(std::int64_t ticks) {
  return ticks == kNoTicks ? std::nullopt : std::optional(ticks);
}

// Every frame lasts until the next; the last one as long as its packet says.
void SetDurations(std::vector<FrameEntry>& frames, std::int64_t usual_step) {
  for (std::size_t i = 0; i + 1 < frames.size(); ++i) frames[i].duration = frames[i + 1].pts - frames[i].pts;
  if (!frames.empty() && frames.back().duration.ticks <= 0) frames.back().duration.ticks = usual_step;
}

bool AllDifferent(std::vector<std::pair<std::int64_t, std::int64_t>>& sorted) {
  std::sort(sorted.begin(), sorted.end());
  return std::adjacent_find(sorted.begin(), sorted.end(),
                            [](const auto& a, const auto& b) { return a.first == b.first; }) == sorted.end();
}

template <class Key>
bool FillIdentity(TableData& data, Key key, std::int64_t none) {
  data.by_identity.clear();
  for (std::size_t i = 0; i < data.sources.size(); ++i) {
    const std::int64_t value = key(data.sources[i]);
    if (value == none) return false;
    data.by_identity.emplace_back(value, static_cast<std::int64_t>(i));
  }
  return AllDifferent(data.by_identity);
}

bool InRange(std::int64_t ordinal, const std::vector<PacketRecord>& packets) {
  return ordinal >= 0 && ordinal < static_cast<std::int64_t>(packets.size());
}

void CollectStarts(TableData& data, const OpenedFile& file, const std::vector<PacketRecord>& packets) {
  if (!file.seekable || data.identity == FrameIdentity::kCount) return;
  for (std::size_t i = 0; i < data.sources.size(); ++i) {
    const std::int64_t ordinal = data.sources[i].ordinal;
    if (!InRange(ordinal, packets) || !packets[static_cast<std::size_t>(ordinal)].key) continue;
    data.starts.push_back(
        {static_cast<std::int64_t>(i), ordinal, packets[static_cast<std::size_t>(ordinal)]});
  }
}

// Frames in the order of decoding.
std::vector<std::size_t> DecodingOrder(const std::vector<DecodedFrame>& frames) {
  std::vector<std::size_t> order(frames.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return frames[a].ordinal < frames[b].ordinal; });
  return order;
}

std::vector<std::int64_t> BadOrdinals(const DecodedAll& decoded) {
  std::vector<std::int64_t> bad;
  for (const DecodedFrame& frame : decoded.frames) {
    if (frame.damaged) bad.push_back(frame.ordinal);
    if (frame.bad_ordinal >= 0) bad.push_back(frame.bad_ordinal);
  }
  if (decoded.bad_ordinal >= 0) bad.push_back(decoded.bad_ordinal);
  std::sort(bad.begin(), bad.end());
  return bad;
}

// What is decoded after a bad packet is doubtful until the next clean frame at which decoding can start; so
// are the frames decoded after that one but shown before it.
void MarkDamage(std::vector<FrameEntry>& entries, const DecodedAll& decoded) {
  const std::vector<std::int64_t> bad = BadOrdinals(decoded);
  auto next_bad = bad.begin();
  bool doubtful = false;
  std::size_t shown_before = 0;  // frames with a smaller index are doubtful
  for (const std::size_t i : DecodingOrder(decoded.frames)) {
    const std::int64_t ordinal = decoded.frames[i].ordinal;
    const auto first_bad = next_bad;
    while (next_bad != bad.end() && *next_bad <= ordinal) ++next_bad;
    const bool itself = next_bad != first_bad && *(next_bad - 1) == ordinal;
    const bool before = next_bad != first_bad;
    if (entries[i].key && !itself) {
      if (doubtful || before) shown_before = i;
      doubtful = false;
    } else if (before) {
      doubtful = true;
    }
    entries[i].damaged = doubtful || i < shown_before;
  }
}

// What the first frame gets if it has no timestamp: counted back from the first frame that has one; 0 if none
// has.
std::int64_t FirstTicks(const std::vector<DecodedFrame>& frames, std::int64_t usual_step) {
  std::int64_t before = 0;
  for (const DecodedFrame& frame : frames) {
    if (frame.best_effort != kNoTicks) return frame.best_effort - before;
    before += frame.duration > 0 ? frame.duration : usual_step;
  }
  return 0;
}

}  // namespace

void ChooseIdentity(TableData& data) {
  if (FillIdentity(
          data, [](const FrameSource& s) { return s.pts; }, kNoTicks)) {
    data.identity = FrameIdentity::kPts;
  } else if (FillIdentity(
                 data, [](const FrameSource& s) { return s.ordinal; }, -1)) {
    data.identity = FrameIdentity::kOrdinal;
  } else {
    data.identity = FrameIdentity::kCount;
    data.by_identity.clear();
  }
}

std::optional<FrameIndex> TableData::Find(const DecodedFrame& frame) const {
  if (identity == FrameIdentity::kCount) return std::nullopt;
  const std::int64_t key = identity == FrameIdentity::kPts ? frame.pts : frame.ordinal;
  const auto found =
      std::lower_bound(by_identity.begin(), by_identity.end(), std::pair(key, std::int64_t{-1}));
  if (found == by_identity.end() || found->first != key) return std::nullopt;
  return FrameIndex{found->second};
}

std::shared_ptr<const TableData> TableFromIndex(const OpenedFile& file) {
  std::vector<FrameEntry> frames;
  std::int64_t shift = 0;
  for (const PacketRecord& packet : file.index) {
    if (packet.discard) continue;
    if (frames.empty() && file.start_ticks != kNoTicks) shift = file.start_ticks - packet.dts;
    frames.push_back({{packet.dts + shift}, {}, packet.key, packet.position});
  }
  const auto before = [](const FrameEntry& a, const FrameEntry& b) { return a.pts < b.pts; };
  const auto same = [](const FrameEntry& a, const FrameEntry& b) { return a.pts == b.pts; };
  std::stable_sort(frames.begin(), frames.end(), before);
  frames.erase(std::unique(frames.begin(), frames.end(), same), frames.end());
  SetDurations(frames, UsualStep(file.info.time_base, file.info.declared_rate));
  auto data = std::make_shared<TableData>();
  data->has_timestamps = file.has_timestamps;
  data->table = FrameTable(std::move(frames), file.info.time_base, TableState::kFromContainer);
  return data;
}

std::shared_ptr<const TableData> TableFromPackets(const OpenedFile& file,
                                                  const std::vector<PacketRecord>& packets) {
  auto data = std::make_shared<TableData>();
  data->has_timestamps = file.has_timestamps;
  const std::int64_t step = UsualStep(file.info.time_base, file.info.declared_rate);
  std::vector<FrameEntry> frames;
  for (const PacketRecord& packet : packets) {
    if (packet.discard) continue;
    data->has_timestamps = data->has_timestamps && packet.pts != kNoTicks;
    frames.push_back({{packet.pts}, {packet.duration}, packet.key, packet.position});
  }
  if (!data->has_timestamps) {
    TimestampRepair repair(file.info.time_base, step);
    std::size_t i = 0;
    for (const PacketRecord& packet : packets)
      if (!packet.discard) frames[i++].pts = {repair.Next(Known(packet.dts), packet.duration)};
  }
  std::stable_sort(frames.begin(), frames.end(), [](const auto& a, const auto& b) { return a.pts < b.pts; });
  frames.erase(
      std::unique(frames.begin(), frames.end(), [](const auto& a, const auto& b) { return a.pts == b.pts; }),
      frames.end());
  SetDurations(frames, step);
  std::vector<std::string> cautions;
  if (!data->has_timestamps) cautions.push_back("Timestamps are missing in the file; these are provisional.");
  data->table =
      FrameTable(std::move(frames), file.info.time_base, TableState::kFromPackets, std::move(cautions));
  return data;
}

std::shared_ptr<const TableData> TableFromFrames(const OpenedFile& file,
                                                 const std::vector<PacketRecord>& packets,
                                                 const DecodedAll& decoded) {
  const std::vector<DecodedFrame>& frames = decoded.frames;
  auto data = std::make_shared<TableData>();
  data->one_thread = decoded.one_thread;
  const std::int64_t step = UsualStep(file.info.time_base, file.info.declared_rate);
  TimestampRepair repair(file.info.time_base, step, FirstTicks(frames, step));
  std::vector<FrameEntry> entries;
  entries.reserve(frames.size());
  for (const DecodedFrame& frame : frames) {
    FrameEntry& entry = entries.emplace_back();
    entry.pts = {repair.Next(Known(frame.best_effort), frame.duration)};
    entry.duration = {frame.duration};
    entry.key = frame.key;
    if (InRange(frame.ordinal, packets))
      entry.file_position = packets[static_cast<std::size_t>(frame.ordinal)].position;
    data->sources.push_back({frame.pts, frame.ordinal, frame.check});
  }
  MarkDamage(entries, decoded);
  SetDurations(entries, step);
  ChooseIdentity(*data);
  CollectStarts(*data, file, packets);
  const auto shown =
      std::count_if(packets.begin(), packets.end(), [](const auto& packet) { return !packet.discard; });
  data->facts = {repair.missing(),
                 repair.jumps_back(),
                 repair.out_of_order(),
                 decoded.read_errors,
                 std::max<std::int64_t>(0, shown - static_cast<std::int64_t>(frames.size())),
                 decoded.too_large};
  std::vector<std::string> cautions = TableCautions(file, entries, data->facts);
  data->table =
      FrameTable(std::move(entries), file.info.time_base, TableState::kVerified, std::move(cautions));
  return data;
}

std::vector<ClockTurn> ClockTurns(const TableData& data) {
  std::vector<ClockTurn> turns;
  if (!data.verified() || data.facts.jumps_back == 0) return turns;
  const Rational time_base = data.table.time_base();
  const auto second = static_cast<std::int64_t>(1 / time_base.value());
  std::int64_t added = 0;
  for (std::size_t i = 0; i < data.sources.size(); ++i) {
    const FrameEntry& frame = data.table.frames()[i];
    if (data.sources[i].pts == kNoTicks || frame.file_position < 0) continue;
    const std::int64_t now_added = frame.pts.ticks - data.sources[i].pts;
    if (std::abs(now_added - added) < second / 2) continue;
    added = now_added;
    turns.push_back({frame.file_position, TickSpan{added}.Seconds(time_base)});
  }
  std::sort(turns.begin(), turns.end(),
            [](const ClockTurn& a, const ClockTurn& b) { return a.position < b.position; });
  return turns;
}

}  // namespace afterscope
