// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/sound_reader.hpp"

#include "annotate/media/helper/sound_tracks.hpp"
#include "annotate/media/sound_format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

// Decoded before what is wanted, since the first packets after a jump are incomplete; the larger ones where a
// jump lands too late.
constexpr std::array kRunInSeconds{0.3, 2.0, 10.0};
constexpr std::int64_t kReadOn = 2LL * kSoundRate;  // further ahead than this, jumping is quicker
constexpr std::int64_t kKept = 1LL * kSoundRate;    // behind what was read
constexpr std::int64_t kHeardWithin = 5LL * kSoundRate;
constexpr float kHeardLevel = 1e-4F;  // -80 dB of full scale
constexpr int kFramesBetweenSigns = 64;

}  // namespace

Result<std::unique_ptr<SoundReader>> SoundReader::Open(const std::string& path, const MediaLimits& limits,
                                                       std::vector<ClockTurn> turns) {
  std::unique_ptr<SoundReader> reader(new SoundReader(path, limits, std::move(turns)));
  AFTERSCOPE_TRY(reader->OpenTrack(0));
  const auto tracks = static_cast<int>(SoundTracks(reader->file_->format()).size());
  bool heard = tracks == 1;
  for (int track = 0; track < tracks && !heard; ++track)
    heard = reader->OpenTrack(track).ok() && reader->IsHeard();
  if (tracks > 1) AFTERSCOPE_TRY(reader->OpenTrack(heard ? reader->track_ : 0));
  reader->end_.reset();
  return reader;
}

Status SoundReader::OpenTrack(int track) {
  placed_.Clear();
  turned_ = 0;
  ended_ = false;
  held_from_ = INT64_MIN;
  track_ = track;
  AFTERSCOPE_ASSIGN(file_, MediaFile::Open(path_, limits_, MediaFile::Want::kSound, track));
  return OpenDecoder();
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
  return {};
}

bool SoundReader::IsHeard() {
  std::optional<std::int64_t> begin;
  while (DecodeMore()) {
    if (!begin) begin = placed_.end();
    if (begin && placed_.end() && *placed_.end() - *begin > kHeardWithin) break;
    std::vector<float> latest(std::size_t{1024} * kSoundChannels);
    placed_.Copy(placed_.end().value_or(0) - 1024, latest);
    if (std::any_of(latest.begin(), latest.end(), [](float s) { return std::abs(s) > kHeardLevel; }))
      return true;
  }
  return false;
}

bool SoundReader::SeekBefore(double seconds) {
  StartPoint start;
  start.kind = StartPoint::Kind::kTime;
  start.packet.pts = std::llround(seconds / av_q2d(file_->stream().time_base));
  return file_->Seek(start);
}

// A file whose clock jumps back can't be searched by time. Nor is there anything to search for before the
// first packet: it is read from the beginning then.
void SoundReader::GoTo(std::int64_t sample) {
  const double seconds = static_cast<double>(sample) / kSoundRate;
  const bool found = turns_.empty() && std::any_of(kRunInSeconds.begin(), kRunInSeconds.end(),
                                                   [&](double run) { return SeekBefore(seconds - run); });
  if (!found) {
    ended_ = !OpenTrack(track_).ok();
    return;
  }
  avcodec_flush_buffers(decoder_.get());
  placed_.Clear();
  ended_ = false;
  held_from_ = sample;
}

// Of the turn that holds at the frame's place in the file and the one after it (packets of sound and pictures
// alternate, so that a turn may come a little early), the one that lets it follow best.
std::optional<double> SoundReader::SecondsOf(const AVFrame& frame) {
  if (frame.best_effort_timestamp == AV_NOPTS_VALUE) return std::nullopt;
  const double seconds = static_cast<double>(frame.best_effort_timestamp) * av_q2d(file_->stream().time_base);
  if (turns_.empty()) return seconds;
  const auto after = std::find_if(turns_.begin(), turns_.end(),
                                  [&](const ClockTurn& turn) { return turn.position > frame.pkt_pos; });
  double added = after == turns_.begin() ? 0 : std::prev(after)->seconds;
  const auto follows = placed_.next_seconds();
  if (after != turns_.end() && follows &&
      std::abs(seconds + after->seconds - *follows) < std::abs(seconds + added - *follows))
    added = after->seconds;
  if (added != turned_) placed_.Close();  // what follows stands by itself, however near
  turned_ = added;
  return seconds + added;
}

bool SoundReader::DecodeMore() {
  while (!ended_) {
    const int result = avcodec_receive_frame(decoder_.get(), frame_.get());
    if (result == 0) {
      placed_.Add(*frame_, SecondsOf(*frame_));
      av_frame_unref(frame_.get());
      return true;
    }
    if (result == AVERROR_EOF) break;
    const bool more = file_->Next(*packet_);
    avcodec_send_packet(decoder_.get(), more ? packet_.get() : nullptr);
    av_packet_unref(packet_.get());
  }
  if (!ended_) placed_.Close();
  ended_ = true;
  if (file_->read_errors() == 0) end_ = std::max(end_.value_or(INT64_MIN), placed_.end().value_or(INT64_MIN));
  return false;
}

std::vector<float> SoundReader::Read(std::int64_t first, std::int64_t count,
                                     const std::function<void()>& alive) {
  const std::int64_t last = first + count;
  if (end_ && first >= *end_) return std::vector<float>(static_cast<std::size_t>(count) * kSoundChannels);
  if (first < held_from_ || (turns_.empty() && first > placed_.end().value_or(0) + kReadOn)) GoTo(first);
  for (int frames = 1; placed_.end().value_or(INT64_MIN) < last && DecodeMore(); ++frames) {
    if (frames % kFramesBetweenSigns != 0) continue;
    placed_.ForgetBefore(first);
    held_from_ = std::max(held_from_, first);
    alive();
  }
  std::vector<float> out(static_cast<std::size_t>(count) * kSoundChannels);
  placed_.Copy(first, out);
  placed_.ForgetBefore(last - kKept);
  held_from_ = std::max(held_from_, last - kKept);
  return out;
}

}  // namespace afterscope
