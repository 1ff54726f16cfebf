// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/jpeg.hpp"

#include <memory>
#include <turbojpeg.h>

namespace afterscope {
namespace {

struct Close {
  void operator()(void* jpeg) const { tjDestroy(jpeg); }
};
struct Free {
  void operator()(unsigned char* bytes) const { tjFree(bytes); }
};

}  // namespace

std::string EncodeJpeg(const RgbImage& image, int quality) {
  if (image.empty()) return {};
  const std::unique_ptr<void, Close> jpeg(tjInitCompress());
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  const int failed = jpeg == nullptr
                         ? 1
                         : tjCompress2(jpeg.get(), image.pixels.data(), image.width, 0, image.height,
                                       TJPF_RGB, &bytes, &size, TJSAMP_420, quality, TJFLAG_ACCURATEDCT);
  const std::unique_ptr<unsigned char, Free> owned(bytes);
  if (failed != 0) return {};
  return {reinterpret_cast<const char*>(bytes), size};
}

}  // namespace afterscope
