// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/picture_painter.hpp"

#include "metrics/picture/deinterlace.hpp"
#include "metrics/picture/local_mean.hpp"
#include "metrics/picture/shrink.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kSeesPixels =
    4;  // screen pixels for one of the picture, from which on they are shown as squares
constexpr int kMostHalvings = 4;
constexpr double kTwice = 1.8;  // so much smaller is small enough for halving
constexpr TextureLayout kWide{GL_R16, GL_RED, GL_UNSIGNED_SHORT};

TextureLayout LayoutOf(const Picture& picture) {
  return picture.bytes_per_sample() == 2 ? kWide : TextureLayout{};
}

// How often a picture that is shown at that scale is halved before: what is left to the shader is less than
// kTwice.
int HalvingsAt(double scale) {
  int halvings = 0;
  for (double shrunk = 1 / scale; shrunk >= kTwice && halvings < kMostHalvings; shrunk /= 2) ++halvings;
  return halvings;
}

}  // namespace

Result<PicturePainter> PicturePainter::Make(const GlApi& gl) {
  AFTERSCOPE_ASSIGN(std::shared_ptr<const PictureShaders> shaders, PictureShaders::Load(gl));
  return PicturePainter(gl, std::move(shaders));
}

PicturePainter::PicturePainter(const GlApi& gl, std::shared_ptr<const PictureShaders> shaders)
    : gl_(&gl),
      shaders_(std::move(shaders)),
      whole_(gl),
      halved_(gl),
      fitted_{RenderTarget(gl), RenderTarget(gl), RenderTarget(gl)},
      mean_{RenderTarget(gl), RenderTarget(gl)} {
  gl_->GenVertexArrays(1, &corners_);
  gl_->GenBuffers(1, &buffer_);
}

PicturePainter::PicturePainter(PicturePainter&& other) noexcept
    : gl_(other.gl_),
      shaders_(std::move(other.shaders_)),
      whole_(std::move(other.whole_)),
      halved_(std::move(other.halved_)),
      fitted_(std::move(other.fitted_)),
      mean_(std::move(other.mean_)),
      picture_(std::move(other.picture_)),
      clarity_(other.clarity_),
      fitted_ready_(other.fitted_ready_),
      mean_ready_(other.mean_ready_),
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
  fitted_ready_ = mean_ready_ = false;
  whole_.halvings.reset();
  halved_.halvings.reset();
}

void PicturePainter::SetClarity(const Clarity& clarity) {
  const Clarity wanted = WithinRange(clarity);
  if (wanted == clarity_) return;
  clarity_ = wanted;
  fitted_ready_ = mean_ready_ = false;
  halved_.halvings.reset();
}

const PicturePainter::Planes& PicturePainter::PlanesFor(double scale) {
  const int halvings = HalvingsAt(scale);
  Planes& planes = halvings == 0 ? whole_ : halved_;
  if (planes.halvings == halvings) return planes;
  planes.halvings = halvings;
  // The comb is in the whole picture's lines: it goes before they are halved.
  const Picture from = halvings > 0 && Deinterlaces(clarity_, picture_) ? Deinterlaced(picture_) : picture_;
  const int bytes = from.bytes_per_sample();
  for (std::size_t i = 0; i < static_cast<std::size_t>(from.plane_count()); ++i) {
    PlaneView plane = from.planes[i];
    for (int n = 0; n < halvings; ++n)
      plane = HalvePlane(plane, bytes, halves_[static_cast<std::size_t>(n % 2)]);
    planes.textures[i].Upload(LayoutOf(from), plane.width, plane.height,
                              static_cast<int>(plane.stride / bytes), plane.data);
  }
  return planes;
}

bool PicturePainter::FitsFields(const Planes& planes) const {
  return &planes == &whole_ && Deinterlaces(clarity_, picture_);
}

const Texture& PicturePainter::Plane(const Planes& planes, std::size_t i) const {
  const std::size_t plane = picture_.plane_count() == 1 ? 0 : i;
  return FitsFields(planes) ? fitted_[plane].texture() : planes.textures[plane];
}

void PicturePainter::Bind(GLenum unit, const Texture& texture, GLint place) {
  gl_->ActiveTexture(GL_TEXTURE0 + unit);
  gl_->BindTexture(GL_TEXTURE_2D, texture.id());
  gl_->Uniform1i(place, static_cast<GLint>(unit));
  gl_->ActiveTexture(GL_TEXTURE0);
}

void PicturePainter::PaintWhole() { gl_->DrawArrays(GL_TRIANGLES, 0, 3); }

void PicturePainter::FitFields() {
  shaders_->deinterlace.Use();
  gl_->Uniform1i(shaders_->deinterlace.At("kept"), picture_.fields == FieldOrder::kBottomFirst ? 1 : 0);
  for (std::size_t i = 0; i < static_cast<std::size_t>(picture_.plane_count()); ++i) {
    const PlaneView& plane = picture_.planes[i];
    fitted_[i].Begin(LayoutOf(picture_), plane.width, plane.height);
    Bind(0, whole_.textures[i], shaders_->deinterlace.At("plane"));
    PaintWhole();
  }
}

void PicturePainter::MeanOfNeighbourhoods(const Planes& planes) {
  const auto [columns, rows] = LocalMeanGrid(picture_.width, picture_.height);
  mean_[0].Begin(kWide, columns, rows);
  shaders_->local_mean.Use();
  gl_->Uniform2f(shaders_->local_mean.At("grid"), static_cast<float>(columns), static_cast<float>(rows));
  Bind(0, Plane(planes, 0), shaders_->local_mean.At("luma"));
  PaintWhole();
  shaders_->smooth.Use();
  gl_->Uniform1fv(shaders_->smooth.At("weights"), static_cast<GLsizei>(kLocalMeanWeights.size()),
                  kLocalMeanWeights.data());
  for (const std::size_t way : {0U, 1U}) {
    mean_[1 - way].Begin(kWide, columns, rows);
    gl_->Uniform2f(shaders_->smooth.At("along"), way == 0 ? 1.0F : 0.0F, way == 0 ? 0.0F : 1.0F);
    Bind(0, mean_[way].texture(), shaders_->smooth.At("cells"));
    PaintWhole();
  }
}

void PicturePainter::Prepare(const Planes& planes) {
  const bool combs = FitsFields(planes) && !fitted_ready_;
  const bool locally = clarity_.local_contrast != 0 && !mean_ready_;
  if (!combs && !locally) return;
  fitted_ready_ = fitted_ready_ || combs;
  mean_ready_ = mean_ready_ || locally;
  GLint target = 0;
  gl_->GetIntegerv(GL_FRAMEBUFFER_BINDING, &target);
  gl_->Disable(GL_SCISSOR_TEST);
  gl_->Disable(GL_BLEND);
  gl_->BindVertexArray(corners_);
  if (combs) FitFields();
  if (locally) MeanOfNeighbourhoods(planes);
  gl_->BindVertexArray(0);
  gl_->BindFramebuffer(GL_FRAMEBUFFER, static_cast<GLuint>(target));
}

void PicturePainter::SetColours() {
  const ShaderProgram& show = shaders_->show;
  const YuvToRgb map = YuvToRgbFor(picture_);
  const ClarityFactors factors = ClarityFactors::Of(clarity_);
  gl_->UniformMatrix3fv(show.At("rgb_from_yuv"), 1, GL_TRUE, map.matrix.data());
  gl_->Uniform3f(show.At("offset"), map.offset[0], map.offset[1], map.offset[2]);
  gl_->Uniform1f(show.At("gain"), factors.gain);
  gl_->Uniform1f(show.At("contrast"), factors.contrast);
  gl_->Uniform1f(show.At("local_contrast"), factors.local);
}

void PicturePainter::SetUniforms(const Planes& planes, double scale) {
  const ShaderProgram& show = shaders_->show;
  const ChromaSite site = ChromaSiteOf(picture_.format);
  const PlaneView& chroma = picture_.planes[picture_.plane_count() == 1 ? 0 : 1];
  const auto two = [&](const char* name, double x, double y) {
    gl_->Uniform2f(show.At(name), static_cast<float>(x), static_cast<float>(y));
  };
  two("luma_size", picture_.planes[0].width, picture_.planes[0].height);
  two("chroma_size", chroma.width, chroma.height);
  two("chroma_step", site.step_x, site.step_y);
  two("chroma_first", site.first_x, site.first_y);
  gl_->Uniform1i(show.At("whole_pixels"), scale >= kSeesPixels ? 1 : 0);
  SetColours();
  constexpr std::array kNames{"luma", "blue", "red"};
  for (std::size_t i = 0; i < kNames.size(); ++i)
    Bind(static_cast<GLenum>(i), Plane(planes, i), show.At(kNames[i]));
  Bind(3, clarity_.local_contrast != 0 ? mean_[0].texture() : planes.textures[0], show.At("local_mean"));
}

void PicturePainter::Paint(const ScreenFromShown& placed, const ScreenRect& area, int target_width,
                           int target_height) {
  if (picture_.empty() || target_width <= 0 || target_height <= 0) return;
  const Planes& planes = PlanesFor(placed.scale);
  Prepare(planes);
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
  shaders_->show.Use();
  SetUniforms(planes, placed.scale);
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
