// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <cstdint>
#include <vector>

namespace afterscope {

// The picture made smaller by the least whole factor with which it is no wider than `most_width` (1 where it
// is narrow enough): each sample is the rounded mean of the block of samples that it covers, which is smaller
// at the right and lower edge. Width and height are rounded up, then, in a format with halved chroma, down to
// whole chroma samples where more than one is left. Everything else (format, colours, frame, aspect,
// rotation) stays; the pixels are its own. Empty for an empty picture or a width below 1.
Picture ShrinkPicture(const Picture& picture, int most_width);

// One plane at half its width and height, rounded up: each sample is the rounded mean of the four that it
// covers (of an odd size, of the part of the plane that it covers), so that both planes span the same area.
// `memory` is what the result lies in, and may be used again for the next one. Empty for an empty plane.
PlaneView HalvePlane(const PlaneView& plane, int bytes_per_sample, std::vector<std::uint8_t>& memory);

}  // namespace afterscope
