// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/gl_api.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// A linked program of two shader files. Needs its context to be current, also when it goes.
class ShaderProgram {
 public:
  // One sentence, with the driver's words, where a file can't be read or does not compile.
  static Result<ShaderProgram> Load(const GlApi& gl, const std::string& vertex_path,
                                    const std::string& fragment_path);
  ShaderProgram(ShaderProgram&& other) noexcept;
  ShaderProgram& operator=(ShaderProgram&&) = delete;
  ShaderProgram(const ShaderProgram&) = delete;
  ShaderProgram& operator=(const ShaderProgram&) = delete;
  ~ShaderProgram();

  void Use() const { gl_->UseProgram(program_); }
  GLint At(const char* uniform) const { return gl_->GetUniformLocation(program_, uniform); }

 private:
  ShaderProgram(const GlApi& gl, GLuint program) : gl_(&gl), program_(program) {}
  const GlApi* gl_;
  GLuint program_;
};

}  // namespace afterscope
