// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/media_limits.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/media/wire.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The first number of every message between this process and its decoding helper.
enum class HelperMessage : std::int64_t {
  // to the helper
  kOpen,     // path, limits, threads, background, sound, turns: opens the recording; answered by kOpened or
             // kRefused
  kStart,    // run, StartPoint: goes there and sends pictures until the end, as far as they are given back
  kRelease,  // picture id: given back
  kHash,     // picture id: answered by kHashed
  kScan,     // sends all packets without decoding: kPackets ..., kDone
  kVerify,   // decodes everything: kFrames ..., kDone
  kHold,     // whether to hold: kVerify waits meanwhile
  kKeys,     // times: sends the key frames at or before them: kPicture ..., kEnd
  kSound,    // first sample, count, on the file's own clock: answered by kSoundBlock
  // from the helper
  kOpened,
  kRefused,   // a sentence's end: why
  kPicture,   // run, DecodedFrame, PictureLayout
  kEnd,       // run: no more pictures
  kNotFound,  // run: the start point was not reached
  kHashed,    // picture id, MD5
  kPackets,
  kFrames,
  kAlive,       // still at work
  kDone,        // read errors, bad ordinal after the last frame, packets that were too large
  kSoundBlock,  // samples, as sound_format.hpp has them
};

constexpr std::int64_t kNoTicks = INT64_MIN;

// A packet of the picture stream, in the order of the file.
struct PacketRecord {
  std::int64_t pts = kNoTicks;
  std::int64_t dts = kNoTicks;
  std::int64_t duration = 0;
  std::int64_t position = -1;
  bool key = false;
  bool corrupt = false;
  bool discard = false;  // decoded, never shown (an edit list cut it away)
};

// Where the file's clock jumps back: from a position in the file on, timestamps count so much later.
struct ClockTurn {
  std::int64_t position = 0;
  double seconds = 0;
  friend bool operator==(const ClockTurn&, const ClockTurn&) = default;
};

// Where decoding starts.
struct StartPoint {
  enum class Kind : std::int64_t {
    kBeginning,  // the file opened anew
    kTime,       // the last key packet found at or before `packet.pts`
    kPacket,     // exactly this key packet, whose ordinal is `ordinal`
  };
  Kind kind = Kind::kBeginning;
  PacketRecord packet;
  std::int64_t ordinal = 0;
  bool by_position = false;  // the container is reached by byte, not by time
};

// What the decoder says of a frame.
struct DecodedFrame {
  std::int64_t pts = kNoTicks;          // of its packet; the same however it was reached
  std::int64_t best_effort = kNoTicks;  // depends on where decoding started
  std::int64_t duration = 0;
  std::int64_t ordinal = -1;  // of its packet; -1: not known
  bool key = false;
  bool damaged = false;           // the decoder, the demuxer or the packet said so
  std::int64_t bad_ordinal = -1;  // the first packet since the frame before that was not decoded cleanly
  std::uint64_t check = 0;        // PictureCheck of its picture; 0: not computed
};

// Where the planes of a picture lie in the shared memory, and what they are.
struct PictureLayout {
  std::int64_t id = 0;
  int width = 0;
  int height = 0;
  PixelFormat format = PixelFormat::kYuv420;
  ColorMatrix matrix = ColorMatrix::kBt709;
  ColorRange range = ColorRange::kLimited;
  FieldOrder fields = FieldOrder::kProgressive;
  Rational pixel_aspect{1, 1};
  int rotation_deg = 0;
  std::array<std::int64_t, 3> offset{};
  std::array<std::int64_t, 3> stride{};
};

// The answer to kOpen.
struct OpenedFile {
  RecordingInfo info;
  std::int64_t start_ticks = kNoTicks;  // declared first timestamp of the picture stream
  bool by_position = false;             // seek by byte (transport and program streams)
  bool seekable = true;                 // false: only from the beginning (a bare stream)
  bool has_timestamps = true;           // false: the container has no presentation times
  std::vector<PacketRecord> index;      // the container's own, in file order; pts are decoding times
};

void Write(WireWriter& to, const MediaLimits& limits);
void Write(WireWriter& to, const PacketRecord& packet);
void Write(WireWriter& to, const StartPoint& start);
void Write(WireWriter& to, const DecodedFrame& frame);
void Write(WireWriter& to, const std::vector<ClockTurn>& turns);
void Write(WireWriter& to, const PictureLayout& layout);
void Write(WireWriter& to, const OpenedFile& file);
void Read(WireReader& from, MediaLimits& limits);
void Read(WireReader& from, PacketRecord& packet);
void Read(WireReader& from, StartPoint& start);
void Read(WireReader& from, DecodedFrame& frame);
void Read(WireReader& from, std::vector<ClockTurn>& turns);
void Read(WireReader& from, PictureLayout& layout);
void Read(WireReader& from, OpenedFile& file);

// A message with its kind written.
inline WireWriter Message(HelperMessage kind) {
  WireWriter message;
  message.Int(static_cast<std::int64_t>(kind));
  return message;
}

}  // namespace afterscope
