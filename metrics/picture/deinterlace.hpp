// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

namespace afterscope {

// The picture with its second field fitted to its first: on lines of the first field nothing changes; a
// sample of the other field becomes the median of itself and the samples above and below it, so that it stays
// where nothing moves and no comb is left where something does. (The three-point median over the two fields:
// G. de Haan and E. B. Bellers, "Deinterlacing - an overview", Proceedings of the IEEE 86 (9), 1998, section
// III.) At the first and last line the one neighbour counts twice. Every plane is treated alike. A
// progressive picture counts as top field first. The CPU twin of shaders/deinterlace.frag. New pixels, all
// else as it was; empty for an empty picture.
Picture Deinterlaced(const Picture& picture);

}  // namespace afterscope
