// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/rgb_image.hpp"

#include <string>

namespace afterscope {

// A baseline JPEG file (JFIF); quality 1 to 100. Empty for an empty image, or where the library can't make
// it.
std::string EncodeJpeg(const RgbImage& image, int quality);

}  // namespace afterscope
