// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/frame_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

extern "C" {
#include <libavutil/display.h>
#include <libavutil/imgutils.h>
#include <libavutil/md5.h>
}

namespace afterscope {
namespace {

PixelFormat Nearest(const AVPixFmtDescriptor& from) {
  const bool deep = from.comp[0].depth > 8;
  if (from.nb_components <= 2 && (from.flags & (AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL)) == 0)
    return deep ? PixelFormat::kYuv420P10 : PixelFormat::kGray8;
  const bool rgb = (from.flags & (AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL)) != 0;
  const bool narrow = !rgb && from.log2_chroma_w > 0;
  const bool low = !rgb && from.log2_chroma_h > 0;
  if (narrow && low) return deep ? PixelFormat::kYuv420P10 : PixelFormat::kYuv420;
  if (narrow) return deep ? PixelFormat::kYuv422P10 : PixelFormat::kYuv422;
  return deep ? PixelFormat::kYuv444P10 : PixelFormat::kYuv444;
}

bool IsRgb(AVPixelFormat format) {
  const AVPixFmtDescriptor* descriptor = av_pix_fmt_desc_get(format);
  return descriptor != nullptr && (descriptor->flags & (AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL)) != 0;
}

bool IsFullRange(const AVFrame& frame) {
  switch (frame.format) {
    case AV_PIX_FMT_YUVJ420P:
    case AV_PIX_FMT_YUVJ422P:
    case AV_PIX_FMT_YUVJ444P:
    case AV_PIX_FMT_YUVJ411P:
    case AV_PIX_FMT_YUVJ440P:
      return true;
    default:
      return frame.color_range == AVCOL_RANGE_JPEG;
  }
}

// Where the file does not say, large pictures are taken as BT.709 and small ones as BT.601: common practice,
// no source.
ColorMatrix MatrixOf(const AVFrame& frame) {
  switch (frame.colorspace) {
    case AVCOL_SPC_BT709:
      return ColorMatrix::kBt709;
    case AVCOL_SPC_BT470BG:
    case AVCOL_SPC_SMPTE170M:
    case AVCOL_SPC_FCC:
      return ColorMatrix::kBt601;
    case AVCOL_SPC_BT2020_NCL:
    case AVCOL_SPC_BT2020_CL:
      return ColorMatrix::kBt2020;
    default:
      return frame.height >= 720 ? ColorMatrix::kBt709 : ColorMatrix::kBt601;
  }
}

FieldOrder FieldsOf(const AVFrame& frame) {
  if (frame.interlaced_frame == 0) return FieldOrder::kProgressive;
  return frame.top_field_first != 0 ? FieldOrder::kTopFirst : FieldOrder::kBottomFirst;
}

bool LiesInArena(const SharedArena& arena, const AVFrame& frame, int planes) {
  for (int i = 0; i < planes; ++i)
    if (frame.linesize[i] <= 0 || !arena.Contains(frame.data[i])) return false;
  return true;
}

}  // namespace

Rational ValidAspect(AVRational aspect) {
  if (aspect.num <= 0 || aspect.den <= 0) return {1, 1};
  return {aspect.num, aspect.den};
}

int ClockwiseRotation(const std::int32_t* matrix) {
  if (matrix == nullptr) return 0;
  const double anticlockwise = av_display_rotation_get(matrix);
  if (!std::isfinite(anticlockwise)) return 0;
  const int quarter_turns = static_cast<int>(std::lround(-anticlockwise / 90.0)) % 4;
  return (quarter_turns + 4) % 4 * 90;
}

AvPtr<AVFrame> FramePictures::Share(const AVFrame& decoded) {
  const auto format = static_cast<AVPixelFormat>(decoded.format);
  const AVPixFmtDescriptor* descriptor = av_pix_fmt_desc_get(format);
  if (descriptor == nullptr || decoded.width <= 0 || decoded.height <= 0) return nullptr;
  const auto same = SameFormat(format);
  if (same && LiesInArena(arena_, decoded, *same == PixelFormat::kGray8 ? 1 : 3))
    return AvPtr<AVFrame>(av_frame_clone(&decoded));
  AvPtr<AVFrame> shared = MakeSharedFrame(arena_, LibraryFormat(same.value_or(Nearest(*descriptor))),
                                          decoded.width, decoded.height);
  if (!shared) return nullptr;
  if (same) {
    av_image_copy(shared->data, shared->linesize, const_cast<const std::uint8_t**>(decoded.data),
                  decoded.linesize, static_cast<AVPixelFormat>(shared->format), decoded.width,
                  decoded.height);
    return shared;
  }
  const auto to = static_cast<AVPixelFormat>(shared->format);
  scaler_.reset(sws_getCachedContext(
      scaler_.release(), decoded.width, decoded.height, format, decoded.width, decoded.height, to,
      SWS_BICUBIC | SWS_ACCURATE_RND | SWS_FULL_CHR_H_INP | SWS_BITEXACT, nullptr, nullptr, nullptr));
  if (!scaler_) return nullptr;
  const bool rgb = IsRgb(format);
  const int* table = sws_getCoefficients(rgb ? SWS_CS_ITU709 : SWS_CS_DEFAULT);
  const int full = rgb || IsFullRange(decoded) ? 1 : 0;
  sws_setColorspaceDetails(scaler_.get(), table, full, table, full, 0, 1 << 16, 1 << 16);
  if (sws_scale(scaler_.get(), decoded.data, decoded.linesize, 0, decoded.height, shared->data,
                shared->linesize) < 0)
    return nullptr;
  return shared;
}

PictureLayout FramePictures::Layout(const AVFrame& shared, const AVFrame& decoded,
                                    const RecordingInfo& info) const {
  PictureLayout layout;
  layout.width = decoded.width;
  layout.height = decoded.height;
  layout.format = SameFormat(static_cast<AVPixelFormat>(shared.format)).value_or(PixelFormat::kGray8);
  const bool rgb = IsRgb(static_cast<AVPixelFormat>(decoded.format));
  layout.matrix = rgb ? ColorMatrix::kBt709 : MatrixOf(decoded);
  const bool gray_is_full =
      layout.format == PixelFormat::kGray8 && decoded.color_range == AVCOL_RANGE_UNSPECIFIED;
  layout.range = rgb || gray_is_full || IsFullRange(decoded) ? ColorRange::kFull : ColorRange::kLimited;
  layout.fields = FieldsOf(decoded);
  const AVRational aspect = decoded.sample_aspect_ratio;
  layout.pixel_aspect = aspect.num > 0 ? ValidAspect(aspect) : info.pixel_aspect;
  const AVFrameSideData* turned = av_frame_get_side_data(&decoded, AV_FRAME_DATA_DISPLAYMATRIX);
  layout.rotation_deg = turned != nullptr
                            ? ClockwiseRotation(reinterpret_cast<const std::int32_t*>(turned->data))
                            : info.rotation_deg;
  for (std::size_t i = 0; i < 3; ++i) {
    if (layout.format == PixelFormat::kGray8 && i > 0) break;
    layout.offset[i] = arena_.Offset(shared.data[i]);
    layout.stride[i] = shared.linesize[i];
  }
  return layout;
}

std::string PlanesMd5(const AVFrame& decoded) {
  const auto format = static_cast<AVPixelFormat>(decoded.format);
  const int size = av_image_get_buffer_size(format, decoded.width, decoded.height, 1);
  if (size <= 0) return {};
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(size));
  av_image_copy_to_buffer(bytes.data(), size, const_cast<const std::uint8_t**>(decoded.data),
                          decoded.linesize, format, decoded.width, decoded.height, 1);
  std::array<std::uint8_t, 16> digest{};
  av_md5_sum(digest.data(), bytes.data(), bytes.size());
  return fmt::format("{:02x}", fmt::join(digest, ""));
}

}  // namespace afterscope
