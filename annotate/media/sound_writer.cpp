// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_writer.hpp"

#include "annotate/media/sound_format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

extern "C" {
#include <libavcodec/avcodec.h>
}

#include "annotate/media/av_output.hpp"
#include "annotate/media/helper/av.hpp"

namespace afterscope {
namespace {

constexpr int kBitRate = 32000;  // speech of full bandwidth

class SpeechFile {
 public:
  explicit SpeechFile(std::string path) : path_(std::move(path)) {}

  Status Open(FileSystem& files) {
    AFTERSCOPE_ASSIGN(output_, AvOutput::Create(path_, files));
    const AVCodec* codec = avcodec_find_encoder_by_name("libopus");
    codec_.reset(codec != nullptr ? avcodec_alloc_context3(codec) : nullptr);
    if (!codec_) return Failed("this machine's libraries lack the encoder");
    codec_->sample_rate = kSoundRate;
    codec_->sample_fmt = AV_SAMPLE_FMT_FLT;
    codec_->bit_rate = kBitRate;
    codec_->time_base = {1, kSoundRate};
    av_channel_layout_default(&codec_->ch_layout, 1);
    codec_->flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_BITEXACT;
    if (avcodec_open2(codec_.get(), codec, nullptr) < 0) return Failed("the encoder refuses the settings");
    AVFormatContext* muxer = nullptr;
    avformat_alloc_output_context2(&muxer, nullptr, "ogg", nullptr);
    muxer_.reset(muxer);
    stream_ = muxer_ ? avformat_new_stream(muxer_.get(), nullptr) : nullptr;
    if (stream_ == nullptr) return Failed("no memory");
    muxer_->pb = output_->io();
    muxer_->flags |= AVFMT_FLAG_BITEXACT;
    stream_->time_base = codec_->time_base;
    if (avcodec_parameters_from_context(stream_->codecpar, codec_.get()) < 0 ||
        avformat_write_header(muxer_.get(), nullptr) < 0)
      return Failed("its header can't be written");
    return {};
  }

  Status Write(std::span<const float> mono) {
    const auto whole = static_cast<std::size_t>(codec_->frame_size);
    std::int64_t at = 0;
    for (std::span<const float> rest = mono; !rest.empty();
         rest = rest.subspan(std::min(whole, rest.size()))) {
      AFTERSCOPE_TRY(Encode(rest.first(std::min(whole, rest.size())), at));
      at += static_cast<std::int64_t>(whole);
    }
    AFTERSCOPE_TRY(Send(nullptr));
    if (av_write_trailer(muxer_.get()) < 0) return Failed("its end can't be written");
    return output_->Keep();
  }

 private:
  Error Failed(const char* why) const {
    if (!output_->failure().ok()) return output_->failure().error();
    return {ErrorCode::kUnwritable, fmt::format("The sound {} could not be written: {}.", path_, why)};
  }

  Status Encode(std::span<const float> part, std::int64_t at) {
    const AvPtr<AVFrame> frame(av_frame_alloc());
    if (!frame) return Failed("no memory");
    frame->format = codec_->sample_fmt;
    frame->sample_rate = kSoundRate;
    frame->nb_samples = static_cast<int>(part.size());
    frame->pts = at;
    av_channel_layout_copy(&frame->ch_layout, &codec_->ch_layout);
    if (av_frame_get_buffer(frame.get(), 0) < 0) return Failed("no memory");
    std::copy(part.begin(), part.end(), reinterpret_cast<float*>(frame->data[0]));
    return Send(frame.get());
  }

  Status Send(const AVFrame* frame) {
    if (avcodec_send_frame(codec_.get(), frame) < 0) return Failed("the encoder failed");
    const AvPtr<AVPacket> packet(av_packet_alloc());
    while (packet && avcodec_receive_packet(codec_.get(), packet.get()) >= 0) {
      av_packet_rescale_ts(packet.get(), codec_->time_base, stream_->time_base);
      if (av_interleaved_write_frame(muxer_.get(), packet.get()) < 0) return Failed("the disk refuses it");
    }
    return {};
  }

  std::string path_;
  std::unique_ptr<AvOutput> output_;  // outlives the muxer
  AvPtr<AVCodecContext> codec_;
  AvMuxerPtr muxer_;
  AVStream* stream_ = nullptr;
};

}  // namespace

Status WriteSpeech(const std::string& path, std::span<const float> mono, FileSystem& files) {
  if (mono.empty()) return Error{ErrorCode::kBadCall, "There is no sound to be written."};
  SpeechFile file(path);
  AFTERSCOPE_TRY(file.Open(files));
  return file.Write(mono);
}

}  // namespace afterscope
