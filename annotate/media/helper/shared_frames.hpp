// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/av.hpp"
#include "metrics/base/picture.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <mutex>
#include <optional>

namespace afterscope {

// Gives out pieces of one block of memory, first fit, page by page. Thread-safe.
class SharedArena {
 public:
  SharedArena(std::uint8_t* base, std::size_t bytes);
  // Null if nothing that large is free.
  std::uint8_t* Take(std::size_t bytes);
  void Give(std::uint8_t* piece);
  bool Contains(const std::uint8_t* at) const { return at >= base_ && at < base_ + bytes_; }
  std::int64_t Offset(const std::uint8_t* at) const { return at - base_; }

 private:
  std::mutex mutex_;
  std::uint8_t* base_;
  std::size_t bytes_;
  std::map<std::size_t, std::size_t> free_;  // offset -> size
  std::map<std::size_t, std::size_t> used_;
};

// The format of ours that is the decoder's, if there is one.
std::optional<PixelFormat> SameFormat(AVPixelFormat format);
AVPixelFormat LibraryFormat(PixelFormat format);

// A frame whose planes lie in the arena; null if it is full.
AvPtr<AVFrame> MakeSharedFrame(SharedArena& arena, AVPixelFormat format, int width, int height);

// Bytes of a picture's planes without padding; 0 if the format or size can't be.
std::int64_t FrameBytes(AVPixelFormat format, int width, int height);

// Makes the decoder write its pictures into the arena, where it can; a picture larger than `most_bytes` is
// not decoded. `clear` zeroes each picture first, so that what a damaged one leaves unwritten is always the
// same. The arena must outlive the context and its frames.
struct DecodeBuffers {
  SharedArena* arena = nullptr;
  bool clear = false;
  std::int64_t most_bytes = INT64_MAX;
};
void UseArena(AVCodecContext& decoder, DecodeBuffers& buffers);

}  // namespace afterscope
