// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/gl_api.hpp"

#include <utility>

namespace afterscope {

// How samples lie in memory.
struct TextureLayout {
  GLint internal = GL_R8;
  GLenum format = GL_RED;
  GLenum type = GL_UNSIGNED_BYTE;
  friend bool operator==(const TextureLayout&, const TextureLayout&) = default;
};

// A two-dimensional texture, linear between its samples, repeated at its edges. Its context must be current,
// also when it goes.
class Texture {
 public:
  explicit Texture(const GlApi& gl) : gl_(&gl) { gl_->GenTextures(1, &id_); }
  Texture(Texture&& other) noexcept
      : gl_(other.gl_),
        id_(std::exchange(other.id_, 0)),
        layout_(other.layout_),
        width_(other.width_),
        height_(other.height_) {}
  Texture& operator=(Texture&&) = delete;
  Texture(const Texture&) = delete;
  Texture& operator=(const Texture&) = delete;
  ~Texture() {
    if (id_ != 0) gl_->DeleteTextures(1, &id_);
  }

  // samples_per_row: from the start of a row to the start of the next; 0: width.
  void Upload(const TextureLayout& layout, int width, int height, int samples_per_row, const void* data);
  // Without content, to be painted to.
  void Allocate(const TextureLayout& layout, int width, int height);
  // The one channel is shown as white with that opacity (for text).
  void ChannelAsOpacity();
  GLuint id() const { return id_; }
  int width() const { return width_; }
  int height() const { return height_; }

 private:
  const GlApi* gl_;
  GLuint id_ = 0;
  TextureLayout layout_;
  int width_ = 0;
  int height_ = 0;
};

}  // namespace afterscope
