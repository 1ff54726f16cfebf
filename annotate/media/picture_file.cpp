// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_file.hpp"

#include "annotate/platform/machine.hpp"
#include "annotate/store/user_file.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <fmt/format.h>

#include <png.h>
#include <string>

namespace afterscope {
namespace {

Result<std::string> EncodePng(const RgbImage& image) {
  png_image header{};
  header.version = PNG_IMAGE_VERSION;
  header.width = static_cast<png_uint_32>(image.width);
  header.height = static_cast<png_uint_32>(image.height);
  header.format = PNG_FORMAT_RGB;
  header.flags = PNG_IMAGE_FLAG_FAST;
  if (!image.empty()) {
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(header);
    std::string bytes(size, '\0');
    if (png_image_write_to_memory(&header, bytes.data(), &size, 0, image.pixels.data(), 0, nullptr) != 0) {
      bytes.resize(size);
      return bytes;
    }
    png_image_free(&header);
  }
  return Error{ErrorCode::kUnwritable, "The picture can't be made into a PNG."};
}

bool IsSameFile(const std::string& a, const std::string& b) {
  const auto left = LookAtRegularFile(a);
  const auto right = LookAtRegularFile(b);
  return left.ok() && right.ok() && left->absolute_path == right->absolute_path;
}

}  // namespace

Status WritePng(const Picture& picture, const std::string& path, const std::vector<std::string>& inputs) {
  for (const std::string& input : inputs)
    if (IsSameFile(path, input))
      return Error{ErrorCode::kUnwritable, fmt::format("'{}' is an input and is not written over.", path)};
  AFTERSCOPE_ASSIGN(const std::string png, EncodePng(ToRgb(picture)));
  return WriteUserFile(RealFileSystem(), path, png);
}

Status WriteNewPng(const Picture& picture, const std::string& path) {
  AFTERSCOPE_ASSIGN(const std::string png, EncodePng(ToRgb(picture)));
  return WriteNewFile(RealFileSystem(), path, png);
}

}  // namespace afterscope
