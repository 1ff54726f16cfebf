// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/av.hpp"
#include "annotate/media/helper/shared_frames.hpp"
#include "annotate/media/helper_messages.hpp"

#include <cstdint>
#include <memory>
#include <string>

namespace afterscope {

// 1/1 where the file says nothing sensible.
Rational ValidAspect(AVRational aspect);
// 0, 90, 180 or 270: how far to turn clockwise for display, by a display matrix of the library; null: 0.
int ClockwiseRotation(const std::int32_t* matrix);

// A decoded frame that can be shown through the arena: the frame itself where it lies there in one of our
// formats, else a copy or the nearest of our formats. Thread-compatible.
class FramePictures {
 public:
  explicit FramePictures(SharedArena& arena) : arena_(arena) {}
  // Null if there is no room.
  AvPtr<AVFrame> Share(const AVFrame& decoded);
  PictureLayout Layout(const AVFrame& shared, const AVFrame& decoded, const RecordingInfo& info) const;

 private:
  SharedArena& arena_;
  AvPtr<SwsContext> scaler_;
};

// MD5 of the planes without padding, as the framehash muxer gets them; lower-case hex.
std::string PlanesMd5(const AVFrame& decoded);

}  // namespace afterscope
