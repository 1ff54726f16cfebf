// SPDX-License-Identifier: Apache-2.0
#include "tests/bench/bare_decoder.hpp"

#include <cstdio>
#include <cstdlib>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace afterscope {

struct BareDecoder::State {
  AVFormatContext* format = nullptr;
  AVCodecContext* decoder = nullptr;
  AVPacket* packet = av_packet_alloc();
  AVFrame* frame = av_frame_alloc();
  int stream = -1;

  ~State() {
    av_frame_free(&frame);
    av_packet_free(&packet);
    avcodec_free_context(&decoder);
    avformat_close_input(&format);
  }

  bool Open(const char* file) {
    if (avformat_open_input(&format, file, nullptr, nullptr) < 0) return false;
    if (avformat_find_stream_info(format, nullptr) < 0) return false;
    const AVCodec* codec = nullptr;
    stream = av_find_best_stream(format, AVMEDIA_TYPE_VIDEO, -1, -1, &codec, 0);
    if (stream < 0) return false;
    decoder = avcodec_alloc_context3(codec);
    avcodec_parameters_to_context(decoder, format->streams[stream]->codecpar);
    decoder->thread_count = 0;  // by the machine, as Recording does
    return avcodec_open2(decoder, codec, nullptr) >= 0;
  }

  // Gives the decoder the stream's next packet; false once there is none.
  bool Feed() {
    while (av_read_frame(format, packet) >= 0) {
      const bool ours = packet->stream_index == stream;
      if (ours) avcodec_send_packet(decoder, packet);
      av_packet_unref(packet);
      if (ours) return true;
    }
    return false;
  }
};

BareDecoder::BareDecoder(const std::string& file) : state_(std::make_unique<State>()) {
  av_log_set_level(AV_LOG_QUIET);
  if (state_->Open(file.c_str())) return;
  std::fprintf(stderr, "%s can't be decoded.\n", file.c_str());
  std::exit(3);
}

BareDecoder::~BareDecoder() = default;

bool BareDecoder::GoTo(std::int64_t pts) {
  if (av_seek_frame(state_->format, state_->stream, pts, AVSEEK_FLAG_BACKWARD) < 0) return false;
  avcodec_flush_buffers(state_->decoder);
  for (;;) {
    const int got = avcodec_receive_frame(state_->decoder, state_->frame);
    if (got == 0 && state_->frame->pts >= pts) return state_->frame->pts == pts;
    if (got == AVERROR_EOF) return false;
    if (got == AVERROR(EAGAIN) && !state_->Feed()) avcodec_send_packet(state_->decoder, nullptr);
  }
}

}  // namespace afterscope
