// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/media_target.hpp"

#include "annotate/media/helper/frame_decoder.hpp"
#include "annotate/media/helper/frame_picture.hpp"
#include "annotate/media/helper/sound_reader.hpp"
#include "annotate/media/picture_check.hpp"
#include "annotate/media/shared_picture.hpp"
#include "annotate/media/sound_format.hpp"
#include "annotate/media/table_data.hpp"
#include "tests/fuzz/one_text.hpp"

#include <chrono>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {
namespace {

constexpr int kMostFrames = 12;
constexpr int kMostPackets = 300;
constexpr std::size_t kArenaBytes = 32 << 20;
constexpr std::size_t kPage = 4096;
constexpr auto kPatience = std::chrono::seconds(3);  // for one input, beside what a call still takes

MediaLimits SmallLimits() {
  MediaLimits limits;
  limits.most_pixels = 1024 * 1024;
  limits.most_frame_bytes = 8 << 20;
  limits.most_packet_bytes = 1 << 16;
  limits.most_streams = 8;
  limits.probe_bytes = 1 << 18;
  limits.probe_seconds = 1;
  limits.open_seconds = limits.seek_seconds = limits.call_seconds = 1;
  return limits;
}

class Deadline {
 public:
  bool Over() const { return std::chrono::steady_clock::now() > until_; }

 private:
  std::chrono::steady_clock::time_point until_ = std::chrono::steady_clock::now() + kPatience;
};

// One recording in a helper's memory.
class Decoding {
 public:
  Decoding(FrameDecoder& decoder, SharedArena& arena, const std::uint8_t* memory)
      : decoder_(decoder), pictures_(arena), memory_(memory), opened_(Describe(decoder.file())) {}

  void Scan(const Deadline& deadline) {
    AvPtr<AVPacket> packet(av_packet_alloc());
    for (int i = 0; i < kMostPackets && !deadline.Over() && decoder_.NextPacket(*packet); ++i) {
      Demand(packet->size <= SmallLimits().most_packet_bytes, "A packet is larger than its limit.");
      packets_.push_back(Describe(*packet));
      av_packet_unref(packet.get());
    }
  }

  void Decode(const StartPoint& start, const Deadline& deadline) {
    const auto started = decoder_.Start(start);
    if (!started.ok() || !*started) return;
    DecodedFrame about;
    for (int i = 0; i < kMostFrames && !deadline.Over() && decoder_.Next(*frame_, about); ++i) Show(about);
  }

  void KeyFrames(const Deadline& deadline) {
    DecodedFrame about;
    for (const std::int64_t pts : {std::int64_t{0}, opened_.start_ticks, INT64_MAX / 4})
      if (!deadline.Over() && decoder_.KeyFrame(pts, {}, *frame_, about)) Show(about);
  }

  // As the program makes them of what its helper says.
  void Tables() const {
    static_cast<void>(TableFromIndex(opened_));
    const auto scanned = TableFromPackets(opened_, packets_);
    const DecodedAll all{frames_, true, decoder_.file().read_errors(), decoder_.bad_ordinal(),
                         decoder_.file().too_large()};
    const auto table = TableFromFrames(opened_, packets_, all);
    for (const auto& made : {scanned, table})
      for (FrameIndex i{1}; i.value < made->table.size(); ++i.value)
        Demand(made->table[{i.value - 1}].pts < made->table[i].pts, "A table's frames are not in order.");
    static_cast<void>(ClockTurns(*table));
  }

  const std::vector<PacketRecord>& packets() const { return packets_; }

 private:
  void Show(DecodedFrame about) {
    Demand(std::int64_t{frame_->width} * frame_->height <= SmallLimits().most_pixels,
           "A picture is larger than its limit.");
    if (const AvPtr<AVFrame> shared = pictures_.Share(*frame_)) {
      const PictureLayout layout = pictures_.Layout(*shared, *frame_, opened_.info);
      about.check = PictureCheck(ViewShared(layout, memory_, kArenaBytes));
    }
    static_cast<void>(PlanesMd5(*frame_));
    frames_.push_back(about);
    av_frame_unref(frame_.get());
  }

  FrameDecoder& decoder_;
  FramePictures pictures_;
  const std::uint8_t* memory_;
  OpenedFile opened_;
  AvPtr<AVFrame> frame_{av_frame_alloc()};
  std::vector<PacketRecord> packets_;
  std::vector<DecodedFrame> frames_;
};

StartPoint AtTime(std::int64_t pts) {
  StartPoint start;
  start.kind = StartPoint::Kind::kTime;
  start.packet.pts = pts;
  return start;
}

void ReadPictures(const std::string& path, const Deadline& deadline) {
  // From a page's beginning, like the memory that a helper shares: decoders write in whole registers.
  static auto* const memory = static_cast<std::uint8_t*>(std::aligned_alloc(kPage, kArenaBytes));
  Demand(memory != nullptr, "There is no memory.");
  SharedArena arena(memory, kArenaBytes);
  auto decoder = FrameDecoder::Open(path, SmallLimits(), 1, arena);
  if (!decoder.ok()) return;
  Decoding decoding(**decoder, arena, memory);
  decoding.Scan(deadline);
  decoding.Decode({}, deadline);
  decoding.Tables();
  decoding.KeyFrames(deadline);
  if (decoding.packets().empty()) return;
  const PacketRecord& last = decoding.packets().back();
  decoding.Decode(AtTime(last.pts), deadline);
  decoding.Decode({StartPoint::Kind::kPacket, last, 0, last.position >= 0}, deadline);
}

void ReadSound(const std::string& path, const Deadline& deadline) {
  if (deadline.Over()) return;
  const auto reader = SoundReader::Open(path, SmallLimits(), {});
  if (!reader.ok()) return;
  for (const std::int64_t first : {0, 9600, 100})
    Demand((*reader)->Read(first, 4800, [] {}).size() == std::size_t{4800} * kSoundChannels,
           "The sound has another length.");
}

}  // namespace

void ReadMedia(std::string_view bytes) {
  static FileOfBytes file;
  [[maybe_unused]] static const bool counted = [] {
    CountDecoderErrors();
    return true;
  }();
  const std::string& path = file.Holding(bytes);
  const Deadline deadline;
  ReadPictures(path, deadline);
  ReadSound(path, deadline);
}

}  // namespace afterscope
