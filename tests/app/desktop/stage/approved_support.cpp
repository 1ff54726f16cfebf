// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/stage/approved_support.hpp"

#include "tests/support/places.hpp"
#include "tests/support/png_file.hpp"

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

cv::Mat View(const RgbImage& image) {
  return {image.height, image.width, CV_8UC3, const_cast<std::uint8_t*>(image.pixels.data())};
}

RgbImage FromMat(const cv::Mat& rgb) {
  RgbImage image{rgb.cols, rgb.rows, {}};
  for (int y = 0; y < rgb.rows; ++y)
    image.pixels.insert(image.pixels.end(), rgb.ptr(y), rgb.ptr(y) + 3 * rgb.cols);
  return image;
}

RgbImage ReadPngFile(const std::string& path) {
  const cv::Mat bgr = testing::ReadPngFile(path);
  if (bgr.empty()) return {};
  cv::Mat rgb;
  cv::cvtColor(bgr, rgb, cv::COLOR_BGR2RGB);
  return FromMat(rgb);
}

bool Alike(const std::array<std::uint8_t, 3>& a, const std::array<std::uint8_t, 3>& b, int intensity) {
  for (std::size_t c = 0; c < 3; ++c)
    if (std::abs(a[c] - b[c]) > intensity) return false;
  return true;
}

bool HasLike(const RgbImage& in, int x, int y, const std::array<std::uint8_t, 3>& pixel,
             const PictureTolerance& tolerance) {
  for (int dy = -tolerance.radius; dy <= tolerance.radius; ++dy)
    for (int dx = -tolerance.radius; dx <= tolerance.radius; ++dx)
      if (x + dx >= 0 && x + dx < in.width && y + dy >= 0 && y + dy < in.height &&
          Alike(in.At(x + dx, y + dy), pixel, tolerance.intensity))
        return true;
  return false;
}

}  // namespace

RgbImage HalfOf(const RgbImage& image) {
  cv::Mat half;
  cv::resize(View(image), half, {image.width / 2, image.height / 2}, 0, 0, cv::INTER_AREA);
  return FromMat(half);
}

bool WritePngFile(const RgbImage& image, const std::string& path) {
  cv::Mat bgr;
  cv::cvtColor(View(image), bgr, cv::COLOR_RGB2BGR);
  return testing::WritePngFile(bgr, path);
}

double ShareOfDifferences(const RgbImage& shown, const RgbImage& approved,
                          const PictureTolerance& tolerance) {
  if (shown.width != approved.width || shown.height != approved.height || shown.empty()) return 1;
  int different = 0;
  for (int y = 0; y < shown.height; ++y)
    for (int x = 0; x < shown.width; ++x)
      if (!HasLike(approved, x, y, shown.At(x, y), tolerance) ||
          !HasLike(shown, x, y, approved.At(x, y), tolerance))
        ++different;
  return static_cast<double>(different) / (static_cast<double>(shown.width) * shown.height);
}

std::string DifferenceFromApproved(const RgbImage& shown, const std::string& name,
                                   const PictureTolerance& tolerance) {
  const std::filesystem::path folder =
      std::filesystem::path(places::kTestSupport).parent_path() / "baselines" / "window";
  const std::string approved = (folder / (name + ".png")).string();
  const RgbImage half = HalfOf(shown);
  const char* approves = std::getenv("AFTERSCOPE_APPROVE");
  if (approves != nullptr && std::string(approves) == "1") {
    std::filesystem::create_directories(folder);
    return WritePngFile(half, approved) ? "" : "Can't write " + approved;
  }
  const double share = ShareOfDifferences(half, ReadPngFile(approved), tolerance);
  if (share <= tolerance.share) return {};
  const std::string now =
      (std::filesystem::path(places::kProgram).parent_path() / (name + ".now.png")).string();
  WritePngFile(half, now);
  return fmt::format("{:.2f} % of {} differ from the approved picture (at most {:.2f} % may); see {}",
                     100 * share, name, 100 * tolerance.share, now);
}

}  // namespace afterscope
