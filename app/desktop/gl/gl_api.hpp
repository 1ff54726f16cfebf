// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <GL/glcorearb.h>

namespace afterscope {

// The OpenGL 3.3 functions that the window uses, fetched by name from whatever made the context.
#define AFTERSCOPE_GL_FUNCTIONS(X)                             \
  X(PFNGLACTIVETEXTUREPROC, ActiveTexture)                     \
  X(PFNGLATTACHSHADERPROC, AttachShader)                       \
  X(PFNGLBINDBUFFERPROC, BindBuffer)                           \
  X(PFNGLBINDFRAMEBUFFERPROC, BindFramebuffer)                 \
  X(PFNGLBINDTEXTUREPROC, BindTexture)                         \
  X(PFNGLBINDVERTEXARRAYPROC, BindVertexArray)                 \
  X(PFNGLBUFFERDATAPROC, BufferData)                           \
  X(PFNGLCHECKFRAMEBUFFERSTATUSPROC, CheckFramebufferStatus)   \
  X(PFNGLCLEARPROC, Clear)                                     \
  X(PFNGLCLEARCOLORPROC, ClearColor)                           \
  X(PFNGLCOMPILESHADERPROC, CompileShader)                     \
  X(PFNGLCREATEPROGRAMPROC, CreateProgram)                     \
  X(PFNGLCREATESHADERPROC, CreateShader)                       \
  X(PFNGLDELETEBUFFERSPROC, DeleteBuffers)                     \
  X(PFNGLDELETEFRAMEBUFFERSPROC, DeleteFramebuffers)           \
  X(PFNGLDELETEPROGRAMPROC, DeleteProgram)                     \
  X(PFNGLDELETESHADERPROC, DeleteShader)                       \
  X(PFNGLDELETETEXTURESPROC, DeleteTextures)                   \
  X(PFNGLDELETEVERTEXARRAYSPROC, DeleteVertexArrays)           \
  X(PFNGLDISABLEPROC, Disable)                                 \
  X(PFNGLDRAWARRAYSPROC, DrawArrays)                           \
  X(PFNGLENABLEPROC, Enable)                                   \
  X(PFNGLENABLEVERTEXATTRIBARRAYPROC, EnableVertexAttribArray) \
  X(PFNGLFRAMEBUFFERTEXTURE2DPROC, FramebufferTexture2D)       \
  X(PFNGLGENBUFFERSPROC, GenBuffers)                           \
  X(PFNGLGENFRAMEBUFFERSPROC, GenFramebuffers)                 \
  X(PFNGLGENTEXTURESPROC, GenTextures)                         \
  X(PFNGLGENVERTEXARRAYSPROC, GenVertexArrays)                 \
  X(PFNGLGETINTEGERVPROC, GetIntegerv)                         \
  X(PFNGLGETPROGRAMINFOLOGPROC, GetProgramInfoLog)             \
  X(PFNGLGETPROGRAMIVPROC, GetProgramiv)                       \
  X(PFNGLGETSHADERINFOLOGPROC, GetShaderInfoLog)               \
  X(PFNGLGETSHADERIVPROC, GetShaderiv)                         \
  X(PFNGLGETUNIFORMLOCATIONPROC, GetUniformLocation)           \
  X(PFNGLLINKPROGRAMPROC, LinkProgram)                         \
  X(PFNGLPIXELSTOREIPROC, PixelStorei)                         \
  X(PFNGLREADPIXELSPROC, ReadPixels)                           \
  X(PFNGLSCISSORPROC, Scissor)                                 \
  X(PFNGLSHADERSOURCEPROC, ShaderSource)                       \
  X(PFNGLTEXIMAGE2DPROC, TexImage2D)                           \
  X(PFNGLTEXPARAMETERIPROC, TexParameteri)                     \
  X(PFNGLTEXPARAMETERIVPROC, TexParameteriv)                   \
  X(PFNGLTEXSUBIMAGE2DPROC, TexSubImage2D)                     \
  X(PFNGLUNIFORM1FPROC, Uniform1f)                             \
  X(PFNGLUNIFORM1FVPROC, Uniform1fv)                           \
  X(PFNGLUNIFORM1IPROC, Uniform1i)                             \
  X(PFNGLUNIFORM2FPROC, Uniform2f)                             \
  X(PFNGLUNIFORM3FPROC, Uniform3f)                             \
  X(PFNGLUNIFORMMATRIX3FVPROC, UniformMatrix3fv)               \
  X(PFNGLUSEPROGRAMPROC, UseProgram)                           \
  X(PFNGLVERTEXATTRIBPOINTERPROC, VertexAttribPointer)         \
  X(PFNGLVIEWPORTPROC, Viewport)

struct GlApi {
  using Function = void (*)();
  using Fetch = Function (*)(const char* name);
#define AFTERSCOPE_GL_MEMBER(type, name) type name = nullptr;
  AFTERSCOPE_GL_FUNCTIONS(AFTERSCOPE_GL_MEMBER)
#undef AFTERSCOPE_GL_MEMBER

  // The context must be current. `complete` is false if a function is missing: the driver is too old.
  static GlApi Load(Fetch fetch);
  bool complete = false;
};

}  // namespace afterscope
