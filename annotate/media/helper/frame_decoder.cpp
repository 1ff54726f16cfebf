// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/frame_decoder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cstdarg>
#include <cstring>
#include <utility>

namespace afterscope {
namespace {

std::atomic<std::int64_t> decoder_errors{0};

void NoteLog(void* context, int level, const char*, va_list) {
  if (context == nullptr || level > AV_LOG_ERROR) return;
  const AVClass* kind = *static_cast<AVClass**>(context);
  if (kind != nullptr && std::strcmp(kind->class_name, "AVCodecContext") == 0) ++decoder_errors;
}

}  // namespace

void CountDecoderErrors() { av_log_set_callback(NoteLog); }

Result<std::unique_ptr<FrameDecoder>> FrameDecoder::Open(const std::string& path, const MediaLimits& limits,
                                                         int threads, SharedArena& arena) {
  std::unique_ptr<FrameDecoder> decoder(new FrameDecoder);
  decoder->path_ = path;
  decoder->limits_ = limits;
  decoder->threads_ = threads;
  decoder->buffers_ = {&arena, threads == 1, limits.most_frame_bytes};
  AFTERSCOPE_TRY(decoder->OpenFile());
  return decoder;
}

Status FrameDecoder::OpenFile() {
  decoder_.reset();
  AFTERSCOPE_ASSIGN(file_, MediaFile::Open(path_, limits_, MediaFile::Want::kPictures));
  untouched_ = true;
  return OpenDecoder();
}

Status FrameDecoder::OpenDecoder() {
  const AVStream& stream = file_->stream();
  const AVCodec* codec = avcodec_find_decoder(stream.codecpar->codec_id);
  if (codec == nullptr)
    return Error{ErrorCode::kUnreadable, fmt::format("there is no decoder for its pictures ({})",
                                                     avcodec_get_name(stream.codecpar->codec_id))};
  decoder_.reset(avcodec_alloc_context3(codec));
  if (!decoder_ || avcodec_parameters_to_context(decoder_.get(), stream.codecpar) < 0)
    return Error{ErrorCode::kUnreadable, "its decoder can't be set up"};
  decoder_->pkt_timebase = stream.time_base;
  decoder_->max_pixels = limits_.most_pixels;
  decoder_->thread_count = threads_;
  UseArena(*decoder_, buffers_);
  const int opened = avcodec_open2(decoder_.get(), codec, nullptr);
  if (opened < 0)
    return Error{ErrorCode::kUnreadable, fmt::format("its decoder can't be opened: {}", AvText(opened))};
  return {};
}

Result<bool> FrameDecoder::Start(const StartPoint& start) {
  const bool beginning = start.kind == StartPoint::Kind::kBeginning;
  if (beginning && !untouched_) AFTERSCOPE_TRY(OpenFile());
  avcodec_flush_buffers(decoder_.get());
  untouched_ = false;
  draining_ = false;
  bad_ordinal_ = -1;
  errors_seen_ = decoder_errors;
  ordinals_known_ = start.kind != StartPoint::Kind::kTime;
  ordinal_ = beginning ? 0 : start.ordinal;
  return beginning || file_->Seek(start);
}

bool FrameDecoder::NextPacket(AVPacket& packet) {
  untouched_ = false;
  return file_->Next(packet);
}

void FrameDecoder::NoteBad() {
  if (bad_ordinal_ < 0) bad_ordinal_ = std::max<std::int64_t>(0, ordinal_ - 1);
}

// Gives the decoder one packet, or tells it that there are no more.
bool FrameDecoder::Feed() {
  if (draining_) return false;
  if (!file_->Next(*packet_)) {
    draining_ = true;
    avcodec_send_packet(decoder_.get(), nullptr);
    return true;
  }
  decoder_->reordered_opaque = ordinal_++;
  const int sent = avcodec_send_packet(decoder_.get(), packet_.get());
  if ((packet_->flags & AV_PKT_FLAG_CORRUPT) != 0 || (sent < 0 && sent != AVERROR(EAGAIN))) NoteBad();
  av_packet_unref(packet_.get());
  return true;
}

bool FrameDecoder::Next(AVFrame& frame, DecodedFrame& about) {
  int failures_in_a_row = 0;
  for (;;) {
    const int result = avcodec_receive_frame(decoder_.get(), &frame);
    if (const std::int64_t errors = decoder_errors; errors != errors_seen_) {
      errors_seen_ = errors;
      NoteBad();
    }
    if (result == AVERROR_EOF) return false;
    if (result == AVERROR(EAGAIN)) {
      if (!Feed()) return false;
      continue;
    }
    if (result < 0) {
      NoteBad();
      if (++failures_in_a_row > 1000 && draining_) return false;
      continue;
    }
    about = Describe(frame);
    return true;
  }
}

DecodedFrame FrameDecoder::Describe(const AVFrame& frame) {
  DecodedFrame about;
  about.pts = frame.pts;
  about.best_effort = frame.best_effort_timestamp;
  about.duration = frame.pkt_duration;
  about.ordinal = ordinals_known_ ? frame.reordered_opaque : -1;
  about.key = frame.key_frame != 0;
  about.bad_ordinal = std::exchange(bad_ordinal_, -1);
  about.damaged = frame.decode_error_flags != 0 || (frame.flags & AV_FRAME_FLAG_CORRUPT) != 0 ||
                  (about.bad_ordinal >= 0 && about.bad_ordinal == about.ordinal);
  return about;
}

bool FrameDecoder::KeyFrame(std::int64_t pts, const std::set<std::int64_t>& known, AVFrame& frame,
                            DecodedFrame& about) {
  StartPoint start;
  start.kind = StartPoint::Kind::kTime;
  start.packet.pts = pts;
  const auto started = Start(start);
  if (!started.ok() || !started.value() || known.contains(file_->found_pts()) || !Feed()) return false;
  draining_ = true;
  avcodec_send_packet(decoder_.get(), nullptr);
  if (avcodec_receive_frame(decoder_.get(), &frame) < 0) return false;
  about = Describe(frame);
  return about.key && !about.damaged && about.pts != kNoTicks;
}

}  // namespace afterscope
