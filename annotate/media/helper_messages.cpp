// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper_messages.hpp"

#include <algorithm>

namespace afterscope {
namespace {

void Write(WireWriter& to, Rational value) { to.Int(value.num).Int(value.den); }

Rational ReadRational(WireReader& from) {
  const std::int64_t num = from.Int();
  return {num, std::max<std::int64_t>(1, from.Int())};
}

template <class Enum>
Enum ReadEnum(WireReader& from, Enum last) {
  return static_cast<Enum>(std::clamp<std::int64_t>(from.Int(), 0, static_cast<std::int64_t>(last)));
}

int ReadSmall(WireReader& from) {
  return static_cast<int>(std::clamp<std::int64_t>(from.Int(), INT32_MIN, INT32_MAX));
}

}  // namespace

void Write(WireWriter& to, const MediaLimits& limits) {
  to.Int(limits.most_pixels).Int(limits.most_frame_bytes).Int(limits.most_packet_bytes);
  to.Int(limits.most_streams).Int(limits.probe_bytes);
  to.Real(limits.probe_seconds).Real(limits.open_seconds).Real(limits.seek_seconds).Real(limits.call_seconds);
  to.Int(limits.helper_memory_bytes).Int(limits.helper_cpu_seconds).Int(limits.decode_threads);
}

void Read(WireReader& from, MediaLimits& limits) {
  limits.most_pixels = from.Int();
  limits.most_frame_bytes = from.Int();
  limits.most_packet_bytes = from.Int();
  limits.most_streams = ReadSmall(from);
  limits.probe_bytes = from.Int();
  limits.probe_seconds = from.Real();
  limits.open_seconds = from.Real();
  limits.seek_seconds = from.Real();
  limits.call_seconds = from.Real();
  limits.helper_memory_bytes = from.Int();
  limits.helper_cpu_seconds = from.Int();
  limits.decode_threads = ReadSmall(from);
}

void Write(WireWriter& to, const PacketRecord& packet) {
  to.Int(packet.pts).Int(packet.dts).Int(packet.duration).Int(packet.position);
  to.Int((packet.key ? 1 : 0) | (packet.corrupt ? 2 : 0) | (packet.discard ? 4 : 0));
}

void Read(WireReader& from, PacketRecord& packet) {
  packet.pts = from.Int();
  packet.dts = from.Int();
  packet.duration = from.Int();
  packet.position = from.Int();
  const std::int64_t flags = from.Int();
  packet.key = (flags & 1) != 0;
  packet.corrupt = (flags & 2) != 0;
  packet.discard = (flags & 4) != 0;
}

void Write(WireWriter& to, const std::vector<ClockTurn>& turns) {
  to.Int(static_cast<std::int64_t>(turns.size()));
  for (const ClockTurn& turn : turns) to.Int(turn.position).Real(turn.seconds);
}

void Read(WireReader& from, std::vector<ClockTurn>& turns) {
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) {
    ClockTurn& turn = turns.emplace_back();
    turn.position = from.Int();
    turn.seconds = from.Real();
  }
}

void Write(WireWriter& to, const StartPoint& start) {
  to.Int(static_cast<std::int64_t>(start.kind));
  Write(to, start.packet);
  to.Int(start.ordinal).Int(start.by_position ? 1 : 0);
}

void Read(WireReader& from, StartPoint& start) {
  start.kind = ReadEnum(from, StartPoint::Kind::kPacket);
  Read(from, start.packet);
  start.ordinal = from.Int();
  start.by_position = from.Flag();
}

void Write(WireWriter& to, const DecodedFrame& frame) {
  to.Int(frame.pts).Int(frame.best_effort).Int(frame.duration).Int(frame.ordinal);
  to.Int((frame.key ? 1 : 0) | (frame.damaged ? 2 : 0))
      .Int(frame.bad_ordinal)
      .Int(std::bit_cast<std::int64_t>(frame.check));
}

void Read(WireReader& from, DecodedFrame& frame) {
  frame.pts = from.Int();
  frame.best_effort = from.Int();
  frame.duration = from.Int();
  frame.ordinal = from.Int();
  const std::int64_t flags = from.Int();
  frame.key = (flags & 1) != 0;
  frame.damaged = (flags & 2) != 0;
  frame.bad_ordinal = from.Int();
  frame.check = std::bit_cast<std::uint64_t>(from.Int());
}

void Write(WireWriter& to, const PictureLayout& layout) {
  to.Int(layout.id).Int(layout.width).Int(layout.height);
  to.Int(static_cast<std::int64_t>(layout.format)).Int(static_cast<std::int64_t>(layout.matrix));
  to.Int(static_cast<std::int64_t>(layout.range)).Int(static_cast<std::int64_t>(layout.fields));
  Write(to, layout.pixel_aspect);
  to.Int(layout.rotation_deg);
  for (const std::int64_t offset : layout.offset) to.Int(offset);
  for (const std::int64_t stride : layout.stride) to.Int(stride);
}

void Read(WireReader& from, PictureLayout& layout) {
  layout.id = from.Int();
  layout.width = ReadSmall(from);
  layout.height = ReadSmall(from);
  layout.format = ReadEnum(from, PixelFormat::kYuv444P10);
  layout.matrix = ReadEnum(from, ColorMatrix::kBt2020);
  layout.range = ReadEnum(from, ColorRange::kFull);
  layout.fields = ReadEnum(from, FieldOrder::kBottomFirst);
  layout.pixel_aspect = ReadRational(from);
  layout.rotation_deg = ReadSmall(from);
  for (std::int64_t& offset : layout.offset) offset = from.Int();
  for (std::int64_t& stride : layout.stride) stride = from.Int();
}

void Write(WireWriter& to, const OpenedFile& file) {
  const RecordingInfo& info = file.info;
  to.Text(info.container).Text(info.codec).Text(info.pixel_format).Int(info.width).Int(info.height);
  Write(to, info.time_base);
  Write(to, info.pixel_aspect);
  Write(to, info.declared_rate);
  to.Int(info.rotation_deg).Int(info.declared_seconds ? 1 : 0).Real(info.declared_seconds.value_or(0));
  to.Int(info.sound ? 1 : 0);
  if (info.sound) to.Text(info.sound->codec).Int(info.sound->sample_rate).Int(info.sound->channels);
  to.Int(static_cast<std::int64_t>(info.cautions.size()));
  for (const std::string& caution : info.cautions) to.Text(caution);
  to.Int(file.start_ticks).Int(file.by_position ? 1 : 0).Int(file.seekable ? 1 : 0);
  to.Int(file.has_timestamps ? 1 : 0);
  to.Int(static_cast<std::int64_t>(file.index.size()));
  for (const PacketRecord& packet : file.index) Write(to, packet);
}

void Read(WireReader& from, OpenedFile& file) {
  RecordingInfo& info = file.info;
  info.container = from.Text();
  info.codec = from.Text();
  info.pixel_format = from.Text();
  info.width = ReadSmall(from);
  info.height = ReadSmall(from);
  info.time_base = ReadRational(from);
  info.pixel_aspect = ReadRational(from);
  info.declared_rate = ReadRational(from);
  info.rotation_deg = ReadSmall(from);
  const bool declared = from.Flag();
  const double seconds = from.Real();
  if (declared) info.declared_seconds = seconds;
  if (from.Flag()) {
    info.sound.emplace();
    info.sound->codec = from.Text();
    info.sound->sample_rate = ReadSmall(from);
    info.sound->channels = ReadSmall(from);
  }
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) info.cautions.push_back(from.Text());
  file.start_ticks = from.Int();
  file.by_position = from.Flag();
  file.seekable = from.Flag();
  file.has_timestamps = from.Flag();
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) Read(from, file.index.emplace_back());
}

}  // namespace afterscope
