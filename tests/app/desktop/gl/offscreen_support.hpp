// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/gl_api.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <memory>
#include <string>

namespace afterscope {

// An OpenGL 3.3 context without a window or a display (EGL, surfaceless), with a framebuffer of that size.
class Offscreen {
 public:
  // Null where this machine can't make one.
  static std::unique_ptr<Offscreen> Make(int width, int height);
  ~Offscreen();
  const GlApi& gl() const;
  RgbImage Read() const;  // what was painted, top row first
  std::string Renderer() const;
  void Finish() const;  // waits until all that was asked for is painted

 private:
  struct State;
  explicit Offscreen(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace afterscope
