// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/picture_shaders.hpp"
#include "app/desktop/gl/render_target.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/picture/clarity.hpp"

#include <array>
#include <memory>

namespace afterscope {

// Paints a picture from its YUV planes. Its context must be current, always.
class PicturePainter {
 public:
  static Result<PicturePainter> Make(const GlApi& gl);
  PicturePainter(const GlApi& gl, std::shared_ptr<const PictureShaders> shaders);
  PicturePainter(PicturePainter&& other) noexcept;
  PicturePainter& operator=(PicturePainter&&) = delete;
  ~PicturePainter();
  // One with pictures of its own and the same shaders.
  PicturePainter Another() const { return {*gl_, shaders_}; }

  // Makes it the one that Paint shows. Cheap if it is the same as before.
  void SetPicture(const Picture& picture);
  // How it is made clearer; values out of range are taken to the nearest that is in it.
  void SetClarity(const Clarity& clarity);
  bool empty() const { return picture_.empty(); }
  const Picture& picture() const { return picture_; }
  // Onto the current framebuffer of that size, y down; cut to `area`.
  void Paint(const ScreenFromShown& placed, const ScreenRect& area, int target_width, int target_height);

 private:
  // What is painted from the picture before it is painted itself, once for each picture.
  void Prepare();
  void FitFields();
  void MeanOfNeighbourhoods();
  void PaintWhole();
  const Texture& Plane(std::size_t i) const;
  void Bind(GLenum unit, const Texture& texture, GLint place);
  void SetUniforms(double scale);
  void SetColours();

  const GlApi* gl_;
  std::shared_ptr<const PictureShaders> shaders_;
  std::array<Texture, 3> planes_;
  std::array<RenderTarget, 3> fitted_;  // planes without comb
  std::array<RenderTarget, 2> mean_;    // the result is in the first
  Picture picture_;
  Clarity clarity_;
  bool prepared_ = false;
  GLuint corners_ = 0;
  GLuint buffer_ = 0;
};

}  // namespace afterscope
