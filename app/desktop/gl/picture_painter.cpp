// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/picture_painter.hpp"

#include "app/common/assets.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kSeesPixels =
    4;  // screen pixels for one of the picture, from which on they are shown as squares
constexpr int kMostTaps = 4;

}  // namespace

Result<PicturePainter> PicturePainter::Make(const GlApi& gl) {
  const std::string folder = ShadersFolder();
  AFTERSCOPE_ASSIGN(ShaderProgram program,
                    ShaderProgram::Load(gl, folder + "/picture.vert", folder + "/yuv_to_rgb.frag"));
  return PicturePainter(gl, std::move(program));
}

PicturePainter::PicturePainter(const GlApi& gl, ShaderProgram program)
    : gl_(&gl), program_(std::move(program)), planes_{Texture(gl), Texture(gl), Texture(gl)} {
  gl_->GenVertexArrays(1, &corners_);
  gl_->GenBuffers(1, &buffer_);
}

PicturePainter::PicturePainter(PicturePainter&& other) noexcept
    : gl_(other.gl_),
      program_(std::move(other.program_)),
      planes_(std::move(other.planes_)),
      picture_(std::move(other.picture_)),
      corners_(std::exchange(other.corners_, 0)),
      buffer_(std::exchange(other.buffer_, 0)) {}

PicturePainter::~PicturePainter() {
  if (corners_ != 0) gl_->DeleteVertexArrays(1, &corners_);
  if (buffer_ != 0) gl_->DeleteBuffers(1, &buffer_);
}

void PicturePainter::SetPicture(const Picture& picture) {
  if (!picture.empty() && picture.planes[0].data == picture_.planes[0].data &&
      picture.frame == picture_.frame)
    return;
  picture_ = picture;
  const int bytes = picture.bytes_per_sample();
  const TextureLayout layout =
      bytes == 2 ? TextureLayout{GL_R16, GL_RED, GL_UNSIGNED_SHORT} : TextureLayout{};
  for (int i = 0; !picture.empty() && i < picture.plane_count(); ++i) {
    const PlaneView& plane = picture.planes[static_cast<std::size_t>(i)];
    planes_[static_cast<std::size_t>(i)].Upload(layout, plane.width, plane.height,
                                                static_cast<int>(plane.stride / bytes), plane.data);
  }
}

void PicturePainter::SetUniforms(double scale) {
  const YuvToRgb map = YuvToRgbFor(picture_);
  const ChromaSite site = ChromaSiteOf(picture_.format);
  const PlaneView& chroma = picture_.planes[picture_.plane_count() == 1 ? 0 : 1];
  const auto two = [&](const char* name, double x, double y) {
    gl_->Uniform2f(program_.At(name), static_cast<float>(x), static_cast<float>(y));
  };
  two("luma_size", picture_.planes[0].width, picture_.planes[0].height);
  two("chroma_size", chroma.width, chroma.height);
  two("chroma_step", site.step_x, site.step_y);
  two("chroma_first", site.first_x, site.first_y);
  gl_->UniformMatrix3fv(program_.At("rgb_from_yuv"), 1, GL_TRUE, map.matrix.data());
  gl_->Uniform3f(program_.At("offset"), map.offset[0], map.offset[1], map.offset[2]);
  gl_->Uniform1i(program_.At("whole_pixels"), scale >= kSeesPixels ? 1 : 0);
  gl_->Uniform1i(program_.At("taps"),
                 std::clamp(static_cast<int>(std::ceil(0.5 / scale - 0.1)), 1, kMostTaps));
  constexpr std::array kNames{"luma", "blue", "red"};
  for (std::size_t i = 0; i < 3; ++i) {
    gl_->ActiveTexture(GL_TEXTURE0 + static_cast<GLenum>(i));
    gl_->BindTexture(GL_TEXTURE_2D, planes_[picture_.plane_count() == 1 ? 0 : i].id());
    gl_->Uniform1i(program_.At(kNames[i]), static_cast<GLint>(i));
  }
  gl_->ActiveTexture(GL_TEXTURE0);
}

void PicturePainter::Paint(const ScreenFromShown& placed, const ScreenRect& area, int target_width,
                           int target_height) {
  if (picture_.empty() || target_width <= 0 || target_height <= 0) return;
  const ShownPicture shown = ShownPicture::Of(picture_);
  std::array<float, 16> corners{};
  for (std::size_t i = 0; i < 4; ++i) {
    const ShownPicture::Spot spot{i % 2 == 0 ? 0 : shown.Width(), i < 2 ? 0 : shown.Height()};
    const PointPx px = shown.PxAt(spot);
    corners[4 * i] = static_cast<float>(2 * placed.X(spot) / target_width - 1);
    corners[4 * i + 1] = static_cast<float>(1 - 2 * placed.Y(spot) / target_height);
    corners[4 * i + 2] = static_cast<float>(px.x + 0.5);
    corners[4 * i + 3] = static_cast<float>(px.y + 0.5);
  }
  gl_->Viewport(0, 0, target_width, target_height);
  gl_->Enable(GL_SCISSOR_TEST);
  gl_->Scissor(static_cast<GLint>(area.left),
               static_cast<GLint>(static_cast<float>(target_height) - area.bottom),
               static_cast<GLsizei>(std::max(0.0F, area.Width())),
               static_cast<GLsizei>(std::max(0.0F, area.Height())));
  gl_->Disable(GL_BLEND);
  program_.Use();
  SetUniforms(placed.scale);
  gl_->BindVertexArray(corners_);
  gl_->BindBuffer(GL_ARRAY_BUFFER, buffer_);
  gl_->BufferData(GL_ARRAY_BUFFER, sizeof(corners), corners.data(), GL_STREAM_DRAW);
  constexpr GLsizei kStride = 4 * sizeof(float);
  gl_->EnableVertexAttribArray(0);
  gl_->VertexAttribPointer(0, 2, GL_FLOAT, GL_FALSE, kStride, nullptr);
  gl_->EnableVertexAttribArray(1);
  gl_->VertexAttribPointer(1, 2, GL_FLOAT, GL_FALSE, kStride,
                           reinterpret_cast<const void*>(2 * sizeof(float)));
  gl_->DrawArrays(GL_TRIANGLE_STRIP, 0, 4);
  gl_->BindVertexArray(0);
  gl_->Disable(GL_SCISSOR_TEST);
}

}  // namespace afterscope
