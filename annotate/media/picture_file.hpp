// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Writes the decoded picture as an 8-bit sRGB PNG, pixel by pixel: neither turned by its rotation nor
// stretched by its pixel aspect. Refuses to write over one of `inputs`. kUnwritable.
Status WritePng(const Picture& picture, const std::string& path, const std::vector<std::string>& inputs);

// The same, but fails where anything is at `path`, which stays.
Status WriteNewPng(const Picture& picture, const std::string& path);

}  // namespace afterscope
