// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_file.hpp"

#include "annotate/platform/machine.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <fmt/format.h>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include <string_view>

namespace afterscope {
namespace {

Result<std::vector<unsigned char>> EncodePng(RgbImage image) {
  std::vector<unsigned char> bytes;
  try {
    const cv::Mat rgb(image.height, image.width, CV_8UC3, image.pixels.data());
    cv::Mat bgr;
    cv::cvtColor(rgb, bgr, cv::COLOR_RGB2BGR);
    if (cv::imencode(".png", bgr, bytes)) return bytes;
  } catch (const cv::Exception&) {
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
  AFTERSCOPE_ASSIGN(const auto png, EncodePng(ToRgb(picture)));
  return ReplaceFile(RealFileSystem(), path, {reinterpret_cast<const char*>(png.data()), png.size()});
}

}  // namespace afterscope
