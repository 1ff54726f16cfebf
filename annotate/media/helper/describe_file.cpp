// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <set>

extern "C" {
#include <libavutil/display.h>
}

#include "annotate/media/helper/frame_picture.hpp"
#include "annotate/media/helper/media_file.hpp"
#include "annotate/media/helper/sound_tracks.hpp"

namespace afterscope {
namespace {

constexpr int kMostIndexEntries = 1'000'000;

std::optional<SoundInfo> DescribeSound(AVFormatContext& format) {
  const std::vector<int> tracks = SoundTracks(format);
  if (tracks.empty()) return std::nullopt;
  const AVCodecParameters& sound = *format.streams[tracks.front()]->codecpar;
  return SoundInfo{avcodec_get_name(sound.codec_id), sound.sample_rate, sound.ch_layout.nb_channels};
}

std::vector<PacketRecord> ContainerIndex(AVStream& stream) {
  std::vector<PacketRecord> index;
  const int count = avformat_index_get_entries_count(&stream);
  if (count > kMostIndexEntries) return index;
  for (int i = 0; i < count; ++i) {
    const AVIndexEntry* entry = avformat_index_get_entry(&stream, i);
    PacketRecord& record = index.emplace_back();
    record.pts = record.dts = entry->timestamp;
    record.position = entry->pos;
    record.key = (entry->flags & AVINDEX_KEYFRAME) != 0;
    record.discard = (entry->flags & AVINDEX_DISCARD_FRAME) != 0;
  }
  return index;
}

// Only in these does the index that is there after opening hold every packet.
bool IndexIsWhole(const std::string& container) { return container.starts_with("mov") || container == "avi"; }

std::optional<double> DeclaredSeconds(const AVFormatContext& format, const AVStream& stream) {
  if (stream.duration != AV_NOPTS_VALUE && stream.duration > 0)
    return static_cast<double>(stream.duration) * av_q2d(stream.time_base);
  if (format.duration != AV_NOPTS_VALUE && format.duration > 0)
    return static_cast<double>(format.duration) / AV_TIME_BASE;
  return std::nullopt;
}

}  // namespace

OpenedFile Describe(MediaFile& file) {
  AVFormatContext& format = file.format();
  AVStream& stream = file.stream();
  const AVCodecParameters& picture = *stream.codecpar;
  OpenedFile out;
  RecordingInfo& info = out.info;
  info.container = format.iformat->name;
  info.codec = avcodec_get_name(picture.codec_id);
  const char* pixels = av_get_pix_fmt_name(static_cast<AVPixelFormat>(picture.format));
  info.pixel_format = pixels != nullptr ? pixels : "";
  info.width = picture.width;
  info.height = picture.height;
  info.time_base = {stream.time_base.num, stream.time_base.den};
  info.pixel_aspect = ValidAspect(av_guess_sample_aspect_ratio(&format, &stream, nullptr));
  const AVRational rate = stream.avg_frame_rate.num > 0 ? stream.avg_frame_rate : stream.r_frame_rate;
  if (rate.num > 0 && rate.den > 0) info.declared_rate = {rate.num, rate.den};
  info.rotation_deg = ClockwiseRotation(reinterpret_cast<const std::int32_t*>(
      av_stream_get_side_data(&stream, AV_PKT_DATA_DISPLAYMATRIX, nullptr)));
  info.declared_seconds = DeclaredSeconds(format, stream);
  info.sound = DescribeSound(format);
  if (!info.sound && HasSoundStream(format))
    info.cautions.push_back("It has sound of a kind that can't be decoded; it plays without.");
  out.start_ticks = stream.start_time;
  static const std::set<std::string> kByPosition{"mpegts", "mpeg"};
  static const std::set<std::string> kBare{"h264", "hevc", "mpegvideo", "m4v", "mjpeg", "vc1"};
  out.by_position = kByPosition.contains(info.container);
  out.seekable = !kBare.contains(info.container);
  const bool reordered = picture.video_delay > 0;
  out.has_timestamps = out.seekable && !(info.container == "avi" && reordered);
  if (IndexIsWhole(info.container)) out.index = ContainerIndex(stream);
  return out;
}

}  // namespace afterscope
