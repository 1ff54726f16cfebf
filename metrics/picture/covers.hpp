// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/base/point.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <span>

namespace afterscope {

enum class CoverShape {
  kBox,
  kEllipse,  // within the box
  kOutside,  // all but the ellipse within the box
};

// An area that nobody is to see, between two opposite corners, in pixels of the decoded picture.
struct CoverArea {
  CoverShape shape = CoverShape::kBox;
  PointPx corner;
  PointPx opposite;
  std::optional<HalfOpen<FrameRef>> range = {};  // the frames that it holds for; empty: all
};

// The picture with the areas filled with black before anything else is done to it. An area grows to whole
// chroma samples and the luma under them: a block of which any part is covered is covered. What the source
// held there has no influence on the result. An area that does not hold for the picture's frame does nothing.
// Without areas, the picture itself, shared.
Picture Covered(const Picture& picture, std::span<const CoverArea> areas);

}  // namespace afterscope
