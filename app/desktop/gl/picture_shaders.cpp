// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/gl/picture_shaders.hpp"

#include "app/common/assets.hpp"

#include <utility>

namespace afterscope {

Result<std::shared_ptr<const PictureShaders>> PictureShaders::Load(const GlApi& gl) {
  const std::string folder = ShadersFolder();
  const auto load = [&](const char* vertex, const char* fragment) {
    return ShaderProgram::Load(gl, folder + "/" + vertex, folder + "/" + fragment);
  };
  AFTERSCOPE_ASSIGN(ShaderProgram show, load("picture.vert", "yuv_to_rgb.frag"));
  AFTERSCOPE_ASSIGN(ShaderProgram deinterlace, load("whole.vert", "deinterlace.frag"));
  AFTERSCOPE_ASSIGN(ShaderProgram local_mean, load("whole.vert", "local_mean.frag"));
  AFTERSCOPE_ASSIGN(ShaderProgram smooth, load("whole.vert", "smooth.frag"));
  return std::shared_ptr<const PictureShaders>(
      new PictureShaders{std::move(show), std::move(deinterlace), std::move(local_mean), std::move(smooth)});
}

}  // namespace afterscope
