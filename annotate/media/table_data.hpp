// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/frame_table.hpp"
#include "annotate/media/helper_messages.hpp"
#include "annotate/media/table_cautions.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

namespace afterscope {

// By what a decoded frame is recognised wherever decoding started.
enum class FrameIdentity {
  kPts,      // its packet's timestamp
  kOrdinal,  // its packet's place in the file
  kCount,    // only by counting from the beginning
};

// What is known of a frame beyond what everyone may see.
struct FrameSource {
  std::int64_t pts = kNoTicks;  // its packet's, as the file has it
  std::int64_t ordinal = -1;    // its packet's
  std::uint64_t check = 0;      // of its picture by decoding from the beginning; 0: not known
};

// A frame at which decoding can start, and the packet to go to.
struct StartFrame {
  std::int64_t frame = 0;
  std::int64_t ordinal = 0;
  PacketRecord packet;
};

// The frame table with what it takes to reach its frames. Immutable once shared.
struct TableData {
  FrameTable table;
  std::vector<FrameSource> sources;  // one a frame; empty in a provisional table
  std::vector<StartFrame> starts;    // in display order; empty in a provisional table
  FrameIdentity identity = FrameIdentity::kPts;
  TableFacts facts;            // of a verified table
  bool has_timestamps = true;  // false: a provisional table whose times are made up
  bool one_thread = false;     // decoding with several threads may give other pictures (damage)
  std::vector<std::pair<std::int64_t, std::int64_t>> by_identity;  // sorted: pts or ordinal, index

  bool verified() const { return table.state() == TableState::kVerified; }
  std::optional<FrameIndex> Find(const DecodedFrame& frame) const;
};

// From the container's own index: presentation times are guessed by shifting decoding times.
std::shared_ptr<const TableData> TableFromIndex(const OpenedFile& file);
// From all packets in file order.
std::shared_ptr<const TableData> TableFromPackets(const OpenedFile& file,
                                                  const std::vector<PacketRecord>& packets);
// All frames decoded from the beginning, in display order.
struct DecodedAll {
  std::vector<DecodedFrame> frames;
  bool one_thread = false;
  std::int64_t read_errors = 0;   // what the container could not deliver
  std::int64_t bad_ordinal = -1;  // of a packet after the last frame that was not decoded cleanly
  std::int64_t too_large = 0;     // packets beyond MediaLimits::most_packet_bytes
};
// The final table.
std::shared_ptr<const TableData> TableFromFrames(const OpenedFile& file,
                                                 const std::vector<PacketRecord>& packets,
                                                 const DecodedAll& decoded);

// Where the file's clock jumps back, as a verified table knows it: what the repair of timestamps added to
// those of the file from a frame on. In order of position; empty for files whose clock only goes forward.
std::vector<ClockTurn> ClockTurns(const TableData& data);

// Fills in what follows from `sources`: identity and by_identity.
void ChooseIdentity(TableData& data);

}  // namespace afterscope
