// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/media_file.hpp"

#include "annotate/media/helper/shared_frames.hpp"
#include "annotate/media/helper/sound_tracks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace afterscope {
namespace {

// What recorders, phones and editors write. Text formats that name other files are not among them.
constexpr const char* kContainers =
    "mov,matroska,webm,mpegts,mpeg,mpegvideo,avi,asf,mxf,flv,ogg,h264,hevc,mjpeg,dv,m4v,vc1,gxf,ivf";
// And sound alone: of a narration, or under a clip.
constexpr const char* kSoundContainers = ",wav,w64,mp3,flac,aac,aiff";

struct Options {
  AVDictionary* all = nullptr;
  ~Options() { av_dict_free(&all); }
  void Set(const char* key, const std::string& value) { av_dict_set(&all, key, value.c_str(), 0); }
  void Set(const char* key, std::int64_t value) { av_dict_set_int(&all, key, value, 0); }
};

int AskPatience(void* patience) { return static_cast<Patience*>(patience)->Over() ? 1 : 0; }

Error Why(std::string text) { return {ErrorCode::kUnreadable, std::move(text)}; }

Error WhyNotOpened(int error) {
  if (error == AVERROR_EXIT) return Why("it took too long");
  if (error == AVERROR(EINVAL) || error == AVERROR_INVALIDDATA)
    return Why(
        "it is none of the kinds of video file that recorders, phones and editors write, or its beginning or "
        "index is damaged");
  return Why(AvText(error));
}

AVStream* FindStream(AVFormatContext& format, MediaFile::Want want, int sound_track) {
  if (want == MediaFile::Want::kSound) {
    const std::vector<int> tracks = SoundTracks(format);
    const auto track = static_cast<std::size_t>(sound_track);
    return track < tracks.size() ? format.streams[tracks[track]] : nullptr;
  }
  for (unsigned i = 0; i < format.nb_streams; ++i) {
    AVStream* stream = format.streams[i];
    const bool cover = (stream->disposition & AV_DISPOSITION_ATTACHED_PIC) != 0;
    if (stream->codecpar->codec_type == AVMEDIA_TYPE_VIDEO && !cover) return stream;
  }
  return nullptr;
}

Status CheckSize(const AVCodecParameters& parameters, const MediaLimits& limits) {
  const std::int64_t pixels = std::int64_t{parameters.width} * parameters.height;
  if (pixels > limits.most_pixels)
    return Why(fmt::format("its pictures of {} x {} are larger than this program takes", parameters.width,
                           parameters.height));
  const std::int64_t bytes =
      FrameBytes(static_cast<AVPixelFormat>(parameters.format), parameters.width, parameters.height);
  if (bytes > limits.most_frame_bytes)
    return Why(fmt::format("its pictures take {} bytes each, more than this program takes", bytes));
  return {};
}

}  // namespace

void Patience::Begin(double seconds) {
  until_ = std::chrono::steady_clock::now() + std::chrono::duration_cast<std::chrono::steady_clock::duration>(
                                                  std::chrono::duration<double>(seconds));
}

Result<std::unique_ptr<MediaFile>> MediaFile::Open(const std::string& path, const MediaLimits& limits,
                                                   Want want, int sound_track) {
  std::unique_ptr<MediaFile> file(new MediaFile);
  file->limits_ = limits;
  file->patience_->Begin(limits.open_seconds);
  Options options;
  options.Set("format_whitelist", std::string(kContainers) + (want == Want::kSound ? kSoundContainers : ""));
  options.Set("protocol_whitelist", "file");
  options.Set("max_streams", limits.most_streams);
  options.Set("probesize", limits.probe_bytes);
  options.Set("analyzeduration", static_cast<std::int64_t>(limits.probe_seconds * AV_TIME_BASE));

  AVFormatContext* format = avformat_alloc_context();
  format->interrupt_callback = {AskPatience, file->patience_.get()};
  const int opened = avformat_open_input(&format, ("file:" + path).c_str(), nullptr, &options.all);
  if (opened < 0) return WhyNotOpened(opened);
  file->format_.reset(format);
  const int found = avformat_find_stream_info(format, nullptr);
  if (found < 0) return WhyNotOpened(found);
  file->stream_ = FindStream(*format, want, sound_track);
  if (file->stream_ == nullptr)
    return Why(want == Want::kSound ? "it has no sound that can be decoded"
                                    : "there is no picture stream in it");
  AFTERSCOPE_TRY(CheckSize(*file->stream_->codecpar, limits));
  for (unsigned i = 0; i < format->nb_streams; ++i)
    format->streams[i]->discard = format->streams[i] == file->stream_ ? AVDISCARD_DEFAULT : AVDISCARD_ALL;
  return file;
}

bool MediaFile::Next(AVPacket& packet) {
  if (held_) {
    av_packet_move_ref(&packet, held_.get());
    held_.reset();
    return true;
  }
  for (;;) {
    patience_->Begin(limits_.call_seconds);
    const int result = av_read_frame(format_.get(), &packet);
    if (result == AVERROR(EAGAIN)) continue;
    if (result < 0) {
      if (result != AVERROR_EOF) ++read_errors_;
      return false;
    }
    if (packet.stream_index == stream_->index) {
      Limit(packet);
      return true;
    }
    av_packet_unref(&packet);
  }
}

void MediaFile::Limit(AVPacket& packet) {
  if (packet.size <= limits_.most_packet_bytes) return;
  av_shrink_packet(&packet, 0);
  packet.flags |= AV_PKT_FLAG_CORRUPT;
  ++too_large_;
}

std::int64_t MediaFile::found_pts() const { return held_ ? held_->pts : kNoTicks; }

bool MediaFile::Jump(std::int64_t target, int flags) {
  patience_->Begin(limits_.seek_seconds);
  return av_seek_frame(format_.get(), stream_->index, target, flags) >= 0;
}

bool MediaFile::Seek(const StartPoint& start) {
  held_.reset();
  return start.kind == StartPoint::Kind::kTime ? SeekByTime(start.packet.pts) : SeekToPacket(start);
}

// A key packet whose presentation time is not after `pts`; the last one, where the container has an index.
bool MediaFile::SeekByTime(std::int64_t pts) {
  constexpr std::array kBackSeconds{0, 1, 4, 16};  // without one, a jump may land behind the key packet
  return std::any_of(kBackSeconds.begin(), kBackSeconds.end(), [&](int back) {
    const auto ticks = static_cast<std::int64_t>(back / av_q2d(stream_->time_base));
    return SeekKey(pts < INT64_MIN + ticks ? INT64_MIN : pts - ticks, pts);
  });
}

// Jumps to a time and goes on to the next key packet.
bool MediaFile::SeekKey(std::int64_t jump, std::int64_t pts) {
  held_.reset();
  if (!Jump(jump, AVSEEK_FLAG_BACKWARD)) return false;
  AvPtr<AVPacket> packet(av_packet_alloc());
  while (packet && Next(*packet)) {
    const bool key = (packet->flags & AV_PKT_FLAG_KEY) != 0;
    if (key && packet->pts != AV_NOPTS_VALUE) {
      if (packet->pts > pts) return false;
      held_ = std::move(packet);
      return true;
    }
    av_packet_unref(packet.get());
  }
  return false;
}

bool MediaFile::SeekToPacket(const StartPoint& start) {
  constexpr int kMostPacketsPassed = 2000;
  const PacketRecord& wanted = start.packet;
  const bool jumped = start.by_position
                          ? Jump(wanted.position, AVSEEK_FLAG_BYTE)
                          : Jump(wanted.dts != kNoTicks ? wanted.dts : wanted.pts, AVSEEK_FLAG_BACKWARD);
  if (!jumped) return false;
  AvPtr<AVPacket> packet(av_packet_alloc());
  for (int passed = 0; packet && passed < kMostPacketsPassed && Next(*packet); ++passed) {
    const PacketRecord here = Describe(*packet);
    if (here.position == wanted.position && here.pts == wanted.pts &&
        (here.dts == wanted.dts || start.by_position)) {
      held_ = std::move(packet);
      return true;
    }
    av_packet_unref(packet.get());
  }
  return false;
}

PacketRecord Describe(const AVPacket& packet) {
  PacketRecord record;
  record.pts = packet.pts;
  record.dts = packet.dts;
  record.duration = packet.duration;
  record.position = packet.pos;
  record.key = (packet.flags & AV_PKT_FLAG_KEY) != 0;
  record.corrupt = (packet.flags & AV_PKT_FLAG_CORRUPT) != 0;
  record.discard = (packet.flags & AV_PKT_FLAG_DISCARD) != 0;
  return record;
}

}  // namespace afterscope
