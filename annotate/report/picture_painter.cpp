// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/picture_painter.hpp"

#include "annotate/overlay/cairo_painter.hpp"
#include "annotate/overlay/theme.hpp"
#include "annotate/report/jpeg.hpp"
#include "annotate/report/surface_image.hpp"

#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace afterscope {

namespace {

constexpr int kJpegQuality = 88;
constexpr double kGround = 0.11;  // grey of what lies beside the picture

using SurfacePtr = std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)>;
using CairoPtr = std::unique_ptr<cairo_t, decltype(&cairo_destroy)>;

ReportPicture::Part PartOf(const ReportPicture& picture) {
  return picture.part.value_or(ReportPicture::Part{0, 0, picture.shown.Width(), picture.shown.Height()});
}

SurfacePtr SurfaceOf(const RgbImage& image) {
  SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width, image.height),
                     cairo_surface_destroy);
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return surface;
  unsigned char* rows = cairo_image_surface_get_data(surface.get());
  const int stride = cairo_image_surface_get_stride(surface.get());
  for (int y = 0; y < image.height; ++y) {
    auto* out = reinterpret_cast<std::uint32_t*>(rows + static_cast<std::ptrdiff_t>(y) * stride);
    for (int x = 0; x < image.width; ++x) {
      const auto rgb = image.At(x, y);
      out[x] = static_cast<std::uint32_t>(rgb[0]) << 16 | static_cast<std::uint32_t>(rgb[1]) << 8 | rgb[2];
    }
  }
  cairo_surface_mark_dirty(surface.get());
  return surface;
}

void AttachJpeg(cairo_surface_t* surface, const RgbImage& image) {
  auto bytes = std::make_unique<std::string>(EncodeJpeg(image, kJpegQuality));
  if (bytes->empty()) return;
  const auto* data = reinterpret_cast<const unsigned char*>(bytes->data());
  const auto size = static_cast<unsigned long>(bytes->size());
  const auto drop = [](void* kept) { delete static_cast<std::string*>(kept); };
  if (cairo_surface_set_mime_data(surface, CAIRO_MIME_TYPE_JPEG, data, size, drop, bytes.get()) ==
      CAIRO_STATUS_SUCCESS)
    (void)bytes.release();  // its owner is the surface
}

// Where the whole picture lies when its part fills `target`.
OutRect WholeFor(const ReportPicture& picture, OutRect target) {
  const ReportPicture::Part part = PartOf(picture);
  const double scale = target.width / part.width;
  return {target.x - part.x * scale, target.y - part.y * scale, picture.shown.Width() * scale,
          picture.shown.Height() * scale};
}

}  // namespace

double ProportionOf(const ReportPicture& picture) {
  const ReportPicture::Part part = PartOf(picture);
  return part.width > 0 && part.height > 0 ? part.height / part.width : 9.0 / 16.0;
}

void PaintPicture(cairo_t* cairo, const ReportPicture& picture, OutRect target, double unit_per_pt) {
  if (picture.image.empty() || !(PartOf(picture).width > 0)) return;
  const OutRect whole = WholeFor(picture, target);
  cairo_save(cairo);
  cairo_rectangle(cairo, target.x, target.y, target.width, target.height);
  cairo_clip(cairo);
  cairo_set_source_rgb(cairo, kGround, kGround, kGround);
  cairo_paint(cairo);
  const SurfacePtr surface = SurfaceOf(picture.image);
  AttachJpeg(surface.get(), picture.image);
  cairo_save(cairo);
  cairo_translate(cairo, whole.x, whole.y);
  cairo_scale(cairo, whole.width / picture.image.width, whole.height / picture.image.height);
  cairo_set_source_surface(cairo, surface.get(), 0, 0);
  cairo_paint(cairo);
  cairo_restore(cairo);
  PaintShapes(cairo, picture.shapes, PlacePicture(picture.shown, whole), {unit_per_pt, true});
  cairo_restore(cairo);
}

std::string PictureAsJpeg(const ReportPicture& picture, int width_px, double width_pt) {
  if (picture.image.empty() || width_px <= 0) return {};
  const int height_px = std::max(1, static_cast<int>(std::lround(width_px * ProportionOf(picture))));
  const SurfacePtr surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width_px, height_px),
                           cairo_surface_destroy);
  const CairoPtr cairo(cairo_create(surface.get()), cairo_destroy);
  if (cairo_status(cairo.get()) != CAIRO_STATUS_SUCCESS) return {};
  const OutRect target{0, 0, static_cast<double>(width_px), static_cast<double>(height_px)};
  PaintPicture(cairo.get(), picture, target, width_px / width_pt);
  return EncodeJpeg(ImageOf(surface.get()), kJpegQuality);
}

}  // namespace afterscope
