// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/verify/verify_plan.hpp"

#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <array>

namespace afterscope {
namespace {

// Hands then move about as fast as in real operations; only what is measured is recorded of it (RunPhantom).
constexpr double kSeconds = 100;
constexpr std::array kDifficulties{phantom::Difficulty::kUsual, phantom::Difficulty::kEasy,
                                   phantom::Difficulty::kHard};
constexpr std::array kDifficultyWords{"usual", "easy", "hard"};

void RecordAsMpeg2(VerifyPhantom& out) {
  out.format.codec = WrittenVideo::kMpeg2;
  out.format.container = WrittenContainer::kMpegTs;
  out.scene.width = 720;
  out.scene.height = 576;
  out.scene.pixel_aspect = {16, 15};
  out.scene.px_per_mm *= 576.0 / 480;
  out.scene.interlaced = true;
  out.scene.field_seconds = 0.5 / out.format.frame_rate.value();
  out.recorded = "MPEG-2, interlaced, 25 frames a second, 720 x 576, pixels 16:15";
}

void RecordAsH264(phantom::Random& random, VerifyPhantom& out) {
  out.format.preset = "ultrafast";
  out.format.variable_rate = random.Uniform() < 0.5;
  out.format.frame_rate = random.Uniform() < 0.5 ? Rational{25, 1} : Rational{30000, 1001};
  out.recorded =
      fmt::format("H.264, {} {:.4g} frames a second, {} x {}", out.format.variable_rate ? "about" : "even",
                  out.format.frame_rate.value(), out.scene.width, out.scene.height);
}

}  // namespace

std::vector<VerifyPhantom> PlanVerify(std::uint64_t seed, int count) {
  std::vector<VerifyPhantom> out;
  for (int i = 0; i < count; ++i) {
    phantom::Random random = phantom::Random(seed).Fork(static_cast<std::uint64_t>(i) + 1);
    const auto kind = static_cast<std::size_t>(i) % kDifficulties.size();
    VerifyPhantom one;
    one.name = fmt::format("phantom-{}", i + 1);
    one.difficulty = kDifficultyWords[kind];
    one.scene = phantom::RandomScene(random.Next(), kDifficulties[kind]);
    one.scene.seconds = kSeconds;
    if (random.Uniform() < 0.5) one.scene.take_overs = {{"rhexis", random.Between(0.3, 0.8)}};
    if (i % 4 == 1)
      RecordAsMpeg2(one);
    else
      RecordAsH264(random, one);
    out.push_back(std::move(one));
  }
  return out;
}

}  // namespace afterscope
