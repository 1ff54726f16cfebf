// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/texture.hpp"

namespace afterscope {

void Texture::Upload(const TextureLayout& layout, int width, int height, int samples_per_row,
                     const void* data) {
  Allocate(layout, width, height);
  gl_->PixelStorei(GL_UNPACK_ALIGNMENT, 1);
  gl_->PixelStorei(GL_UNPACK_ROW_LENGTH, samples_per_row);
  gl_->TexSubImage2D(GL_TEXTURE_2D, 0, 0, 0, width, height, layout.format, layout.type, data);
  gl_->PixelStorei(GL_UNPACK_ROW_LENGTH, 0);
}

void Texture::Allocate(const TextureLayout& layout, int width, int height) {
  gl_->BindTexture(GL_TEXTURE_2D, id_);
  if (width == width_ && height == height_ && layout == layout_) return;
  gl_->TexImage2D(GL_TEXTURE_2D, 0, layout.internal, width, height, 0, layout.format, layout.type, nullptr);
  gl_->TexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  gl_->TexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  gl_->TexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  gl_->TexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  width_ = width;
  height_ = height;
  layout_ = layout;
}

void Texture::ChannelAsOpacity() {
  constexpr GLint kSwizzle[4] = {GL_ONE, GL_ONE, GL_ONE, GL_RED};
  gl_->BindTexture(GL_TEXTURE_2D, id_);
  gl_->TexParameteriv(GL_TEXTURE_2D, GL_TEXTURE_SWIZZLE_RGBA, kSwizzle);
}

}  // namespace afterscope
