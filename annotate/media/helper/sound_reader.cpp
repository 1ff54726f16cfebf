// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/sound_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kRunInSeconds =
    0.3;  // decoded before what is wanted: the first packets after a jump are incomplete
constexpr double kReadOnSeconds = 2.0;  // further ahead than this, jumping is quicker
constexpr double kSlackSeconds = 0.02;  // timestamps of following packets may be off by so much without a gap
constexpr double kKeepSeconds = 1.0;    // kept behind what was read
constexpr double kMostGapSeconds = 30.0;  // a larger hole between packets is a jump of the clock

}  // namespace

Result<std::unique_ptr<SoundReader>> SoundReader::Open(const std::string& path, const MediaLimits& limits) {
  std::unique_ptr<SoundReader> reader(new SoundReader);
  AFTERSCOPE_ASSIGN(reader->file_, MediaFile::Open(path, limits, MediaFile::Want::kSound));
  AFTERSCOPE_TRY(reader->OpenDecoder());
  return reader;
}

Status SoundReader::OpenDecoder() {
  const AVStream& stream = file_->stream();
  const AVCodec* codec = avcodec_find_decoder(stream.codecpar->codec_id);
  if (codec == nullptr) return Error{ErrorCode::kUnreadable, "there is no decoder for its sound"};
  decoder_.reset(avcodec_alloc_context3(codec));
  if (!decoder_ || avcodec_parameters_to_context(decoder_.get(), stream.codecpar) < 0)
    return Error{ErrorCode::kUnreadable, "its sound decoder can't be set up"};
  decoder_->pkt_timebase = stream.time_base;
  const int opened = avcodec_open2(decoder_.get(), codec, nullptr);
  if (opened < 0)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("its sound decoder can't be opened: {}", AvText(opened))};
  rate_ = stream.codecpar->sample_rate;
  if (rate_ < 1000 || rate_ > 768000)
    return Error{ErrorCode::kUnreadable, "its sound has no usable sample rate"};
  return {};
}

void SoundReader::GoTo(std::int64_t sample) {
  StartPoint start;
  start.kind = StartPoint::Kind::kTime;
  const double seconds = static_cast<double>(sample) / rate_ - kRunInSeconds;
  start.packet.pts = std::llround(seconds / av_q2d(file_->stream().time_base));
  // Where that lies before the first packet, the jump fails and leaves the file at its beginning.
  if (!file_->Seek(start)) av_seek_frame(&file_->format(), -1, INT64_MIN / 2, AVSEEK_FLAG_BACKWARD);
  avcodec_flush_buffers(decoder_.get());
  resampler_.reset();
  buffer_.clear();
  ended_ = false;
  placed_ = false;
}

std::vector<float> SoundReader::Resampled(const AVFrame& frame) {
  if (!resampler_) {
    AVChannelLayout stereo = AV_CHANNEL_LAYOUT_STEREO;
    AVChannelLayout from = frame.ch_layout;
    if (from.order == AV_CHANNEL_ORDER_UNSPEC) av_channel_layout_default(&from, frame.ch_layout.nb_channels);
    SwrContext* context = nullptr;
    swr_alloc_set_opts2(&context, &stereo, AV_SAMPLE_FMT_FLT, rate_, &from,
                        static_cast<AVSampleFormat>(frame.format), frame.sample_rate, 0, nullptr);
    resampler_.reset(context);
    if (!context || swr_init(context) < 0) {
      resampler_.reset();
      return {};
    }
  }
  const int room = swr_get_out_samples(resampler_.get(), frame.nb_samples);
  std::vector<float> samples(static_cast<std::size_t>(std::max(room, 0)) * kChannels);
  auto* out = reinterpret_cast<std::uint8_t*>(samples.data());
  const int got = swr_convert(resampler_.get(), &out, room,
                              const_cast<const std::uint8_t**>(frame.extended_data), frame.nb_samples);
  samples.resize(static_cast<std::size_t>(std::max(got, 0)) * kChannels);
  return samples;
}

// Puts the samples where their timestamp says, closing small holes and overlaps.
void SoundReader::Append(const AVFrame& frame) {
  std::vector<float> samples = Resampled(frame);
  const bool timed = frame.best_effort_timestamp != AV_NOPTS_VALUE;
  std::int64_t at = buffer_end();
  if (timed) {
    const double seconds =
        static_cast<double>(frame.best_effort_timestamp) * av_q2d(file_->stream().time_base);
    const std::int64_t exact = std::llround(seconds * rate_);
    if (!placed_ || std::abs(exact - at) > std::llround(kSlackSeconds * rate_)) at = exact;
  }
  if (!placed_) {
    buffer_start_ = at;
    placed_ = true;
  }
  if (at > buffer_end() + std::llround(kMostGapSeconds * rate_)) return;
  if (at > buffer_end()) buffer_.resize(static_cast<std::size_t>(at - buffer_start_) * kChannels, 0.0F);
  const auto overlap = static_cast<std::size_t>(std::max<std::int64_t>(0, buffer_end() - at)) * kChannels;
  if (overlap < samples.size())
    buffer_.insert(buffer_.end(), samples.begin() + static_cast<std::ptrdiff_t>(overlap), samples.end());
}

bool SoundReader::DecodeMore() {
  while (!ended_) {
    const int result = avcodec_receive_frame(decoder_.get(), frame_.get());
    if (result == 0) {
      Append(*frame_);
      av_frame_unref(frame_.get());
      return true;
    }
    if (result == AVERROR_EOF) break;
    if (result != AVERROR(EAGAIN)) continue;
    const bool more = file_->Next(*packet_);
    avcodec_send_packet(decoder_.get(), more ? packet_.get() : nullptr);
    av_packet_unref(packet_.get());
  }
  ended_ = true;
  return false;
}

std::vector<float> SoundReader::Read(double from, double to) {
  const std::int64_t first = std::llround(from * rate_);
  const std::int64_t last = std::max(first, static_cast<std::int64_t>(std::llround(to * rate_)));
  const bool behind = placed_ && first < buffer_start_;
  const bool far_ahead = placed_ && first > buffer_end() + std::llround(kReadOnSeconds * rate_);
  if (!placed_ || behind || far_ahead) GoTo(first);
  while ((!placed_ || buffer_end() < last) && DecodeMore()) {
  }
  std::vector<float> out(static_cast<std::size_t>(last - first) * kChannels, 0.0F);
  const std::int64_t begin = std::max(first, buffer_start_);
  const std::int64_t end = std::min(last, buffer_end());
  if (placed_ && begin < end)
    std::copy(buffer_.begin() + (begin - buffer_start_) * kChannels,
              buffer_.begin() + (end - buffer_start_) * kChannels, out.begin() + (begin - first) * kChannels);
  const std::int64_t old = std::min(last, buffer_end()) - std::llround(kKeepSeconds * rate_) - buffer_start_;
  if (placed_ && old > 0) {
    buffer_.erase(buffer_.begin(), buffer_.begin() + old * kChannels);
    buffer_start_ += old;
  }
  return out;
}

}  // namespace afterscope
