// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/gl/offscreen_support.hpp"

#include <EGL/egl.h>
#include <EGL/eglext.h>

#include <algorithm>

namespace afterscope {

struct Offscreen::State {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLContext context = EGL_NO_CONTEXT;
  GlApi gl;
  int width = 0;
  int height = 0;
};

std::unique_ptr<Offscreen> Offscreen::Make(int width, int height) {
  auto state = std::make_unique<State>();
  const auto get_display =
      reinterpret_cast<PFNEGLGETPLATFORMDISPLAYEXTPROC>(eglGetProcAddress("eglGetPlatformDisplayEXT"));
  if (get_display == nullptr) return nullptr;
  state->display = get_display(EGL_PLATFORM_SURFACELESS_MESA, nullptr, nullptr);
  if (eglInitialize(state->display, nullptr, nullptr) == EGL_FALSE) return nullptr;
  eglBindAPI(EGL_OPENGL_API);
  constexpr EGLint kConfig[] = {EGL_SURFACE_TYPE, EGL_PBUFFER_BIT, EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT,
                                EGL_NONE};
  EGLConfig config = nullptr;
  EGLint count = 0;
  if (eglChooseConfig(state->display, kConfig, &config, 1, &count) == EGL_FALSE || count == 0) return nullptr;
  constexpr EGLint kContext[] = {EGL_CONTEXT_MAJOR_VERSION,
                                 3,
                                 EGL_CONTEXT_MINOR_VERSION,
                                 3,
                                 EGL_CONTEXT_OPENGL_PROFILE_MASK,
                                 EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                                 EGL_NONE};
  state->context = eglCreateContext(state->display, config, EGL_NO_CONTEXT, kContext);
  if (state->context == EGL_NO_CONTEXT) return nullptr;
  eglMakeCurrent(state->display, EGL_NO_SURFACE, EGL_NO_SURFACE, state->context);
  state->gl = GlApi::Load(eglGetProcAddress);
  if (!state->gl.complete) return nullptr;

  const GlApi& gl = state->gl;
  state->width = width;
  state->height = height;
  GLuint texture = 0;
  GLuint target = 0;
  gl.GenTextures(1, &texture);
  gl.BindTexture(GL_TEXTURE_2D, texture);
  gl.TexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
  gl.GenFramebuffers(1, &target);
  gl.BindFramebuffer(GL_FRAMEBUFFER, target);
  gl.FramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, texture, 0);
  if (gl.CheckFramebufferStatus(GL_FRAMEBUFFER) != GL_FRAMEBUFFER_COMPLETE) return nullptr;
  return std::unique_ptr<Offscreen>(new Offscreen(std::move(state)));
}

Offscreen::Offscreen(std::unique_ptr<State> state) : state_(std::move(state)) {}

Offscreen::~Offscreen() {
  eglMakeCurrent(state_->display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
  eglDestroyContext(state_->display, state_->context);
}

const GlApi& Offscreen::gl() const { return state_->gl; }

std::string Offscreen::Renderer() const {
  const auto get_string = reinterpret_cast<PFNGLGETSTRINGPROC>(eglGetProcAddress("glGetString"));
  const GLubyte* words = get_string == nullptr ? nullptr : get_string(GL_RENDERER);
  return words == nullptr ? std::string("unknown") : reinterpret_cast<const char*>(words);
}

void Offscreen::Finish() const {
  // Reading one pixel waits for everything before it.
  std::uint32_t pixel = 0;
  state_->gl.ReadPixels(0, 0, 1, 1, GL_RGBA, GL_UNSIGNED_BYTE, &pixel);
}

RgbImage Offscreen::Read() const {
  RgbImage image{state_->width, state_->height, {}};
  const auto row = static_cast<std::size_t>(image.width) * 3;
  std::vector<std::uint8_t> bottom_first(row * static_cast<std::size_t>(image.height));
  state_->gl.PixelStorei(GL_PACK_ALIGNMENT, 1);
  state_->gl.ReadPixels(0, 0, image.width, image.height, GL_RGB, GL_UNSIGNED_BYTE, bottom_first.data());
  for (std::size_t y = static_cast<std::size_t>(image.height); y-- > 0;)
    image.pixels.insert(image.pixels.end(), bottom_first.begin() + static_cast<std::ptrdiff_t>(y * row),
                        bottom_first.begin() + static_cast<std::ptrdiff_t>((y + 1) * row));
  return image;
}

}  // namespace afterscope
