// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/shared_picture.hpp"

#include <cstring>
#include <mutex>
#include <vector>

namespace afterscope {
namespace {

constexpr int kMostSide = 1 << 16;
constexpr std::size_t kAlign = 64;

// Rows of samples of two bytes must not begin between two samples.
bool PlaneFits(std::int64_t offset, std::int64_t stride, std::int64_t row_bytes, std::int64_t rows,
               std::int64_t sample_bytes, std::int64_t shared_bytes) {
  if (offset % sample_bytes != 0 || stride % sample_bytes != 0) return false;
  if (offset < 0 || offset > shared_bytes || stride < row_bytes || stride > shared_bytes) return false;
  return (rows - 1) * stride + row_bytes <= shared_bytes - offset;
}

// Memory of pictures that are gone, kept for the next ones: asking the system anew costs more than copying.
class PixelPool {
 public:
  std::shared_ptr<std::uint8_t> Take(std::size_t bytes) {
    std::unique_ptr<std::uint8_t[]> memory;
    {
      const std::lock_guard lock(mutex_);
      for (Spare& spare : spares_) {
        if (spare.bytes != bytes) continue;
        memory = std::move(spare.memory);
        std::swap(spare, spares_.back());
        spares_.pop_back();
        break;
      }
    }
    if (!memory) memory.reset(new std::uint8_t[bytes]);
    return {memory.release(), [this, bytes](std::uint8_t* used) { Give(used, bytes); }};
  }

 private:
  struct Spare {
    std::unique_ptr<std::uint8_t[]> memory;
    std::size_t bytes = 0;
  };
  static constexpr std::size_t kMostSpares = 4;

  void Give(std::uint8_t* used, std::size_t bytes) {
    std::unique_ptr<std::uint8_t[]> memory(used);
    const std::lock_guard lock(mutex_);
    if (spares_.size() >= kMostSpares) spares_.erase(spares_.begin());
    spares_.push_back({std::move(memory), bytes});
  }

  std::mutex mutex_;
  std::vector<Spare> spares_;
};

PixelPool& Pool() {
  static PixelPool* const pool = new PixelPool;  // never destroyed: pictures may outlive everything else
  return *pool;
}

}  // namespace

Picture ViewShared(const PictureLayout& layout, const std::uint8_t* shared, std::size_t shared_bytes) {
  if (layout.width <= 0 || layout.height <= 0 || layout.width > kMostSide || layout.height > kMostSide)
    return {};
  Picture picture;
  picture.width = layout.width;
  picture.height = layout.height;
  picture.format = layout.format;
  picture.matrix = layout.matrix;
  picture.range = layout.range;
  picture.fields = layout.fields;
  picture.pixel_aspect = layout.pixel_aspect;
  picture.rotation_deg = layout.rotation_deg;
  for (int i = 0; i < picture.plane_count(); ++i) {
    const auto plane = static_cast<std::size_t>(i);
    const int width = i == 0 ? layout.width : ChromaWidth(layout.format, layout.width);
    const int height = i == 0 ? layout.height : ChromaHeight(layout.format, layout.height);
    if (!PlaneFits(layout.offset[plane], layout.stride[plane],
                   std::int64_t{width} * picture.bytes_per_sample(), height, picture.bytes_per_sample(),
                   static_cast<std::int64_t>(shared_bytes)))
      return {};
    picture.planes[plane] = {shared + layout.offset[plane], layout.stride[plane], width, height};
  }
  return picture;
}

Picture OwnCopy(const Picture& picture) {
  std::size_t total = 0;
  std::array<std::size_t, 3> strides{};
  for (int i = 0; i < picture.plane_count(); ++i) {
    const auto plane = static_cast<std::size_t>(i);
    const auto row = static_cast<std::size_t>(picture.planes[plane].width) *
                     static_cast<std::size_t>(picture.bytes_per_sample());
    strides[plane] = (row + kAlign - 1) / kAlign * kAlign;
    total += strides[plane] * static_cast<std::size_t>(picture.planes[plane].height);
  }
  const auto memory = Pool().Take(total);
  Picture copy = picture;
  std::uint8_t* to = memory.get();
  for (int i = 0; i < picture.plane_count(); ++i) {
    const auto plane = static_cast<std::size_t>(i);
    const PlaneView& from = picture.planes[plane];
    const auto row =
        static_cast<std::size_t>(from.width) * static_cast<std::size_t>(picture.bytes_per_sample());
    copy.planes[plane].data = to;
    copy.planes[plane].stride = static_cast<std::ptrdiff_t>(strides[plane]);
    for (int y = 0; y < from.height; ++y, to += strides[plane])
      std::memcpy(to, from.data + y * from.stride, row);
  }
  copy.owner = memory;
  return copy;
}

}  // namespace afterscope
