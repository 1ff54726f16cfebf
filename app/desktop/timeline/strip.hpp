// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// A stretch of the case clock laid along a row of pixels, both ways. An empty stretch or row gives its
// beginning.
struct Strip {
  double from_s = 0;
  double to_s = 0;
  float left = 0;
  float right = 0;

  double PixelsPerSecond() const { return to_s > from_s ? (right - left) / (to_s - from_s) : 0; }
  float XAt(double seconds) const {
    return left + static_cast<float>((seconds - from_s) * PixelsPerSecond());
  }
  double SecondsAt(float x) const {
    return right > left ? from_s + (x - left) * (to_s - from_s) / (right - left) : from_s;
  }
};

}  // namespace afterscope
