// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/gl/shader_program.hpp"

#include <memory>

namespace afterscope {

// What pictures are painted with; shared by all painters of a context.
struct PictureShaders {
  ShaderProgram show;         // onto the screen
  ShaderProgram deinterlace;  // one plane
  ShaderProgram local_mean;
  ShaderProgram smooth;

  static Result<std::shared_ptr<const PictureShaders>> Load(const GlApi& gl);
};

}  // namespace afterscope
