// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/shader_program.hpp"
#include "app/desktop/gl/texture.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "metrics/base/picture.hpp"

#include <array>

namespace afterscope {

// Paints a picture from its YUV planes. Its context must be current, always.
class PicturePainter {
 public:
  static Result<PicturePainter> Make(const GlApi& gl);
  PicturePainter(PicturePainter&& other) noexcept;
  PicturePainter& operator=(PicturePainter&&) = delete;
  ~PicturePainter();

  // Makes it the one that Paint shows. Cheap if it is the same as before.
  void SetPicture(const Picture& picture);
  bool empty() const { return picture_.empty(); }
  const Picture& picture() const { return picture_; }
  // Onto the current framebuffer of that size, y down; cut to `area`.
  void Paint(const ScreenFromShown& placed, const ScreenRect& area, int target_width, int target_height);

 private:
  PicturePainter(const GlApi& gl, ShaderProgram program);
  void SetUniforms(double scale);

  const GlApi* gl_;
  ShaderProgram program_;
  std::array<Texture, 3> planes_;
  Picture picture_;
  GLuint corners_ = 0;
  GLuint buffer_ = 0;
};

}  // namespace afterscope
