// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/shared_frames.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>

extern "C" {
#include <libavutil/imgutils.h>
}

namespace afterscope {
namespace {

constexpr std::size_t kPage = 4096;
constexpr std::size_t kPlaneGap = 128;  // readable bytes behind a plane, for vector code
constexpr int kWidthStep =
    128;  // every plane's rows start at a multiple of 64 bytes; rows of 2048 would share cache sets

constexpr std::array<std::pair<AVPixelFormat, PixelFormat>, 10> kSame{{
    {AV_PIX_FMT_YUV420P, PixelFormat::kYuv420},
    {AV_PIX_FMT_YUVJ420P, PixelFormat::kYuv420},
    {AV_PIX_FMT_YUV422P, PixelFormat::kYuv422},
    {AV_PIX_FMT_YUVJ422P, PixelFormat::kYuv422},
    {AV_PIX_FMT_YUV444P, PixelFormat::kYuv444},
    {AV_PIX_FMT_YUVJ444P, PixelFormat::kYuv444},
    {AV_PIX_FMT_GRAY8, PixelFormat::kGray8},
    {AV_PIX_FMT_YUV420P10LE, PixelFormat::kYuv420P10},
    {AV_PIX_FMT_YUV422P10LE, PixelFormat::kYuv422P10},
    {AV_PIX_FMT_YUV444P10LE, PixelFormat::kYuv444P10},
}};

void GiveBack(void* opaque, std::uint8_t* data) { static_cast<SharedArena*>(opaque)->Give(data); }

// Puts planes of at least this size into one piece of the arena; false if it is full or the size can't be.
bool Attach(SharedArena& arena, AVFrame& frame, int width, int height, bool clear) {
  const auto format = static_cast<AVPixelFormat>(frame.format);
  std::array<int, 4> linesize{};
  if (av_image_fill_linesizes(linesize.data(), format, FFALIGN(width, kWidthStep)) < 0) return false;
  const std::array<std::ptrdiff_t, 4> strides{linesize[0], linesize[1], linesize[2], linesize[3]};
  std::array<std::size_t, 4> sizes{};
  if (av_image_fill_plane_sizes(sizes.data(), format, FFALIGN(height, 32), strides.data()) < 0) return false;
  std::size_t total = 0;
  for (const std::size_t size : sizes) total += size == 0 ? 0 : size + kPlaneGap;
  std::uint8_t* piece = arena.Take(total);
  if (piece == nullptr) return false;
  if (clear) std::memset(piece, 0, total);
  frame.buf[0] = av_buffer_create(piece, total, GiveBack, &arena, 0);
  if (frame.buf[0] == nullptr) {
    arena.Give(piece);
    return false;
  }
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    frame.data[i] = sizes[i] == 0 ? nullptr : piece;
    frame.linesize[i] = linesize[i];
    piece += sizes[i] == 0 ? 0 : sizes[i] + kPlaneGap;
  }
  frame.extended_data = frame.data;
  return true;
}

int GetBuffer(AVCodecContext* decoder, AVFrame* frame, int flags) {
  const auto* buffers = static_cast<const DecodeBuffers*>(decoder->opaque);
  if (FrameBytes(static_cast<AVPixelFormat>(frame->format), decoder->width, decoder->height) >
      buffers->most_bytes)
    return AVERROR(ENOMEM);
  const bool direct = (decoder->codec->capabilities & AV_CODEC_CAP_DR1) != 0;
  if (direct && SameFormat(static_cast<AVPixelFormat>(frame->format))) {
    int width = frame->width;
    int height = frame->height;
    std::array<int, AV_NUM_DATA_POINTERS> align{};
    avcodec_align_dimensions2(decoder, &width, &height, align.data());
    if (Attach(*buffers->arena, *frame, width, height, buffers->clear)) return 0;
  }
  return avcodec_default_get_buffer2(decoder, frame, flags);
}

}  // namespace

SharedArena::SharedArena(std::uint8_t* base, std::size_t bytes)
    : base_(base), bytes_(bytes), free_{{0, bytes}} {}

std::uint8_t* SharedArena::Take(std::size_t bytes) {
  const std::size_t size = (bytes + kPage - 1) / kPage * kPage;
  const std::lock_guard lock(mutex_);
  for (auto hole = free_.begin(); hole != free_.end(); ++hole) {
    if (hole->second < size) continue;
    const auto [offset, room] = *hole;
    free_.erase(hole);
    if (room > size) free_[offset + size] = room - size;
    used_[offset] = size;
    return base_ + offset;
  }
  return nullptr;
}

void SharedArena::Give(std::uint8_t* piece) {
  const std::lock_guard lock(mutex_);
  const auto used = used_.find(static_cast<std::size_t>(piece - base_));
  if (used == used_.end()) return;
  auto hole = free_.emplace(used->first, used->second).first;
  used_.erase(used);
  if (const auto next = std::next(hole); next != free_.end() && hole->first + hole->second == next->first) {
    hole->second += next->second;
    free_.erase(next);
  }
  if (hole == free_.begin()) return;
  if (const auto before = std::prev(hole); before->first + before->second == hole->first) {
    before->second += hole->second;
    free_.erase(hole);
  }
}

std::optional<PixelFormat> SameFormat(AVPixelFormat format) {
  for (const auto& [library, ours] : kSame)
    if (library == format) return ours;
  return std::nullopt;
}

std::int64_t FrameBytes(AVPixelFormat format, int width, int height) {
  return std::max(0, av_image_get_buffer_size(format, width, height, 1));
}

AVPixelFormat LibraryFormat(PixelFormat format) {
  for (const auto& [library, ours] : kSame)
    if (ours == format) return library;
  return AV_PIX_FMT_NONE;
}

AvPtr<AVFrame> MakeSharedFrame(SharedArena& arena, AVPixelFormat format, int width, int height) {
  AvPtr<AVFrame> frame(av_frame_alloc());
  if (!frame) return nullptr;
  frame->format = format;
  frame->width = width;
  frame->height = height;
  return Attach(arena, *frame, width, height, false) ? std::move(frame) : nullptr;
}

void UseArena(AVCodecContext& decoder, DecodeBuffers& buffers) {
  decoder.opaque = &buffers;
  decoder.get_buffer2 = GetBuffer;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wdeprecated-declarations"
  decoder.thread_safe_callbacks =
      1;  // else buffers are asked for by one thread only, which slows decoding down
#pragma GCC diagnostic pop
}

}  // namespace afterscope
