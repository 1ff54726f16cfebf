// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <cstdint>

namespace afterscope {

// A 64-bit number over the pixels of all planes (padding left out), never 0: two ways of reaching a frame
// that give different pixels give different numbers but for one chance in 2^64. Not for use against someone
// who wants it to fail.
std::uint64_t PictureCheck(const Picture& picture);

}  // namespace afterscope
