// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/texture.hpp"

#include <utility>

namespace afterscope {

// A texture that is painted to. Its context must be current, also when it goes.
class RenderTarget {
 public:
  explicit RenderTarget(const GlApi& gl) : gl_(&gl), texture_(gl) {}
  RenderTarget(RenderTarget&& other) noexcept
      : gl_(other.gl_), texture_(std::move(other.texture_)), frame_(std::exchange(other.frame_, 0)) {}
  RenderTarget& operator=(RenderTarget&&) = delete;
  ~RenderTarget() {
    if (frame_ != 0) gl_->DeleteFramebuffers(1, &frame_);
  }

  // Makes it the place that is painted to, at that size.
  void Begin(const TextureLayout& layout, int width, int height) {
    texture_.Allocate(layout, width, height);
    if (frame_ == 0) gl_->GenFramebuffers(1, &frame_);
    gl_->BindFramebuffer(GL_FRAMEBUFFER, frame_);
    gl_->FramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, texture_.id(), 0);
    gl_->Viewport(0, 0, width, height);
  }
  const Texture& texture() const { return texture_; }

 private:
  const GlApi* gl_;
  Texture texture_;
  GLuint frame_ = 0;
};

}  // namespace afterscope
