// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

namespace afterscope {

// The picture made smaller by the least whole factor with which it is no wider than `most_width` (1 where it
// is narrow enough): each sample is the rounded mean of the block of samples that it covers, which is smaller
// at the right and lower edge. Width and height are rounded up, then, in a format with halved chroma, down to
// whole chroma samples where more than one is left. Everything else (format, colours, frame, aspect,
// rotation) stays; the pixels are its own. Empty for an empty picture or a width below 1.
Picture ShrinkPicture(const Picture& picture, int most_width);

}  // namespace afterscope
