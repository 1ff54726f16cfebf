// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// A depth in the eye at which lengths are given. What lies behind the cornea looks larger than it is; the
// sclera and the cornea's own plane show lengths as they are.
enum class Plane { kCornea, kCapsule, kLens, kSclera };

}  // namespace afterscope
