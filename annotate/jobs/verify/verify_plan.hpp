// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/scene.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// A phantom that the whole chain is tried on, and how it is recorded.
struct VerifyPhantom {
  std::string name;        // "phantom-1"
  std::string difficulty;  // easy, usual, hard
  std::string recorded;    // codec, rate, size, in words
  phantom::Scene scene;
  PhantomFormat format;
};

// The seed of the phantoms that are always the same; the demo's have others.
inline constexpr std::uint64_t kVerifySeed = 40961;

// `count` phantoms drawn from the seed: easy, usual and hard in turn, H.264 at an even and at a variable rate
// and interlaced MPEG-2 with pixels that are not square, some with a take-over, some with a change of zoom.
std::vector<VerifyPhantom> PlanVerify(std::uint64_t seed, int count);

}  // namespace afterscope
