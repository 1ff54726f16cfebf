// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/shader_program.hpp"

#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

#include <array>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 1 << 20;

Result<GLuint> Compile(const GlApi& gl, GLenum kind, const std::string& path) {
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(path, kMostBytes));
  const GLuint shader = gl.CreateShader(kind);
  const char* source = text.c_str();
  gl.ShaderSource(shader, 1, &source, nullptr);
  gl.CompileShader(shader);
  GLint good = 0;
  gl.GetShaderiv(shader, GL_COMPILE_STATUS, &good);
  if (good != 0) return shader;
  std::array<char, 512> words{};
  gl.GetShaderInfoLog(shader, static_cast<GLsizei>(words.size()) - 1, nullptr, words.data());
  gl.DeleteShader(shader);
  return Error{ErrorCode::kUnreadable,
               fmt::format("The shader '{}' does not compile: {}.", path, words.data())};
}

}  // namespace

Result<ShaderProgram> ShaderProgram::Load(const GlApi& gl, const std::string& vertex_path,
                                          const std::string& fragment_path) {
  AFTERSCOPE_ASSIGN(const GLuint vertex, Compile(gl, GL_VERTEX_SHADER, vertex_path));
  auto fragment = Compile(gl, GL_FRAGMENT_SHADER, fragment_path);
  if (!fragment) {
    gl.DeleteShader(vertex);
    return fragment.error();
  }
  const GLuint program = gl.CreateProgram();
  gl.AttachShader(program, vertex);
  gl.AttachShader(program, *fragment);
  gl.LinkProgram(program);
  gl.DeleteShader(vertex);
  gl.DeleteShader(*fragment);
  GLint good = 0;
  gl.GetProgramiv(program, GL_LINK_STATUS, &good);
  if (good != 0) return ShaderProgram(gl, program);
  std::array<char, 512> words{};
  gl.GetProgramInfoLog(program, static_cast<GLsizei>(words.size()) - 1, nullptr, words.data());
  gl.DeleteProgram(program);
  return Error{ErrorCode::kUnreadable,
               fmt::format("The shader '{}' does not link: {}.", fragment_path, words.data())};
}

ShaderProgram::ShaderProgram(ShaderProgram&& other) noexcept
    : gl_(other.gl_), program_(std::exchange(other.program_, 0)) {}

ShaderProgram::~ShaderProgram() {
  if (program_ != 0) gl_->DeleteProgram(program_);
}

}  // namespace afterscope
