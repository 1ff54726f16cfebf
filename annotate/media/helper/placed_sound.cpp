// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/placed_sound.hpp"

#include "annotate/media/sound_format.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace afterscope {
namespace {

// In steps of so many samples the two rates meet; beyond this, a piece begins at the nearest sample instead.
constexpr std::int64_t kMostStep = 1024;

std::int64_t FloorTo(std::int64_t value, std::int64_t step) {
  const std::int64_t rest = value % step;
  return value - (rest < 0 ? rest + step : rest);
}

AvPtr<SwrContext> MakeResampler(const AVFrame& frame) {
  AVChannelLayout stereo = AV_CHANNEL_LAYOUT_STEREO;
  AVChannelLayout from = frame.ch_layout;
  if (from.order == AV_CHANNEL_ORDER_UNSPEC) av_channel_layout_default(&from, frame.ch_layout.nb_channels);
  SwrContext* context = nullptr;
  swr_alloc_set_opts2(&context, &stereo, AV_SAMPLE_FMT_FLT, kSoundRate, &from,
                      static_cast<AVSampleFormat>(frame.format), frame.sample_rate, 0, nullptr);
  AvPtr<SwrContext> resampler(context);
  if (context == nullptr || swr_init(context) < 0) resampler.reset();
  return resampler;
}

// What damage makes of float samples can be anything.
float Sane(float sample) { return std::isfinite(sample) ? std::clamp(sample, -1.0F, 1.0F) : 0.0F; }

}  // namespace

std::int64_t PlacedSound::Piece::end() const {
  return start + static_cast<std::int64_t>(samples.size()) / kSoundChannels;
}

bool PlacedSound::IsLikeBefore(const AVFrame& frame) const {
  return resampler_ && frame.sample_rate == rate_ && frame.format == format_ &&
         frame.ch_layout.nb_channels == channels_;
}

void PlacedSound::Add(const AVFrame& frame, std::optional<double> seconds_at) {
  if (frame.nb_samples <= 0 || frame.sample_rate <= 0) return;
  const bool like_before = IsLikeBefore(frame);
  const std::int64_t follows =
      like_before ? next_ : std::llround(next_seconds().value_or(0) * frame.sample_rate);
  const std::int64_t at = seconds_at ? std::llround(*seconds_at * frame.sample_rate) : follows;
  const auto slack = std::llround(kSlackSeconds * frame.sample_rate);
  if (!(like_before && std::llabs(at - follows) <= slack) && !Begin(frame, at)) return;
  Convert(const_cast<const std::uint8_t**>(frame.extended_data), frame.nb_samples);
  next_ += frame.nb_samples;
}

// The piece begins where samples of both rates fall together, with silence up to the frame.
bool PlacedSound::Begin(const AVFrame& frame, std::int64_t at) {
  Close();
  resampler_ = MakeResampler(frame);
  if (!resampler_) return false;
  rate_ = frame.sample_rate;
  format_ = frame.format;
  channels_ = frame.ch_layout.nb_channels;
  next_ = at;
  const std::int64_t common = std::gcd(rate_, kSoundRate);
  const std::int64_t step = rate_ / common;
  if (step > kMostStep) {
    pieces_.push_back({std::llround(static_cast<double>(at) * kSoundRate / rate_), {}});
    return true;
  }
  const std::int64_t begin = FloorTo(at, step);
  pieces_.push_back({begin / step * (kSoundRate / common), {}});
  if (at > begin) swr_inject_silence(resampler_.get(), static_cast<int>(at - begin));
  return true;
}

void PlacedSound::Convert(const std::uint8_t** data, int count) {
  std::vector<float>& samples = pieces_.back().samples;
  const std::size_t before = samples.size();
  const int room = std::max(0, swr_get_out_samples(resampler_.get(), count));
  samples.resize(before + static_cast<std::size_t>(room) * kSoundChannels);
  auto* out = reinterpret_cast<std::uint8_t*>(samples.data() + before);
  const int got = std::max(0, swr_convert(resampler_.get(), &out, room, data, count));
  samples.resize(before + static_cast<std::size_t>(got) * kSoundChannels);
  std::transform(samples.begin() + static_cast<std::ptrdiff_t>(before), samples.end(),
                 samples.begin() + static_cast<std::ptrdiff_t>(before), Sane);
}

void PlacedSound::Close() {
  if (resampler_) Convert(nullptr, 0);
  resampler_.reset();
}

void PlacedSound::Clear() {
  pieces_.clear();
  resampler_.reset();
  rate_ = 0;
}

std::optional<std::int64_t> PlacedSound::end() const {
  if (pieces_.empty()) return std::nullopt;
  return pieces_.back().end();
}

std::optional<double> PlacedSound::next_seconds() const {
  if (rate_ == 0) return std::nullopt;
  return static_cast<double>(next_) / rate_;
}

void PlacedSound::Copy(std::int64_t first, std::span<float> out) const {
  std::fill(out.begin(), out.end(), 0.0F);
  const std::int64_t last = first + static_cast<std::int64_t>(out.size()) / kSoundChannels;
  for (const Piece& piece : pieces_) {
    const std::int64_t begin = std::max(first, piece.start);
    const std::int64_t end = std::min(last, piece.end());
    if (begin < end)
      std::copy(piece.samples.begin() + (begin - piece.start) * kSoundChannels,
                piece.samples.begin() + (end - piece.start) * kSoundChannels,
                out.begin() + (begin - first) * kSoundChannels);
  }
}

void PlacedSound::ForgetBefore(std::int64_t sample) {
  while (pieces_.size() > 1 && pieces_.front().end() <= sample) pieces_.pop_front();
  if (pieces_.empty() || pieces_.front().start >= sample) return;
  Piece& oldest = pieces_.front();
  const std::int64_t end = std::min(sample, oldest.end());
  oldest.samples.erase(oldest.samples.begin(),
                       oldest.samples.begin() + (end - oldest.start) * kSoundChannels);
  oldest.start = end;
}

}  // namespace afterscope
