// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/picture_shaders.hpp"
#include "app/desktop/gl/render_target.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/picture/clarity.hpp"

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

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
  // Onto the current framebuffer of that size, y down; cut to `area`. Where it is shown at half its size or
  // less, it is halved before it is uploaded: without a graphics card the shader is most of what a frame of
  // the window costs (53 ms of processor time for 1080p in a window of 1280x720 with four samples a pixel
  // instead, 19 ms so).
  void Paint(const ScreenFromShown& placed, const ScreenRect& area, int target_width, int target_height);

 private:
  struct Planes {
    explicit Planes(const GlApi& gl) : textures{Texture(gl), Texture(gl), Texture(gl)} {}
    std::array<Texture, 3> textures;
    std::optional<int> halvings;  // of the picture that lies in them, if any
  };

  // The picture's planes as they are best painted at that scale; uploads them where that was not done yet.
  const Planes& PlanesFor(double scale);
  // The shader takes the comb away from these planes.
  bool FitsFields(const Planes& planes) const;
  // What is painted from the picture before it is painted itself, once for each picture.
  void Prepare(const Planes& planes);
  void FitFields();
  void MeanOfNeighbourhoods(const Planes& planes);
  void PaintWhole();
  const Texture& Plane(const Planes& planes, std::size_t i) const;
  void Bind(GLenum unit, const Texture& texture, GLint place);
  void SetUniforms(const Planes& planes, double scale);
  void SetColours();

  const GlApi* gl_;
  std::shared_ptr<const PictureShaders> shaders_;
  Planes whole_;
  Planes halved_;
  std::array<std::vector<std::uint8_t>, 2> halves_;  // what the last plane was halved in
  std::array<RenderTarget, 3> fitted_;               // planes without comb
  std::array<RenderTarget, 2> mean_;                 // the result is in the first
  Picture picture_;
  Clarity clarity_;
  bool fitted_ready_ = false;
  bool mean_ready_ = false;
  GLuint corners_ = 0;
  GLuint buffer_ = 0;
};

}  // namespace afterscope
