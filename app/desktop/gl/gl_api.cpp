// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/gl_api.hpp"

namespace afterscope {

GlApi GlApi::Load(Fetch fetch) {
  GlApi gl;
  gl.complete = true;
#define AFTERSCOPE_GL_FETCH(type, name)                \
  gl.name = reinterpret_cast<type>(fetch("gl" #name)); \
  gl.complete = gl.complete && gl.name != nullptr;
  AFTERSCOPE_GL_FUNCTIONS(AFTERSCOPE_GL_FETCH)
#undef AFTERSCOPE_GL_FETCH
  return gl;
}

}  // namespace afterscope
