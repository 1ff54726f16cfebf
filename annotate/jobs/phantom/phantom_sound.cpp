// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_sound.hpp"

#include "metrics/phantom/random.hpp"

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr std::size_t kNoiseSamples = 1 << 15;
constexpr int kControlSamples = 64;  // powers are looked up that often

double Sine(double hz, double seconds) {
  return std::sin(2 * std::numbers::pi * std::fmod(hz * seconds, 1.0));
}

}  // namespace

PhantomSound::PhantomSound(const phantom::Script& script, int sample_rate, std::uint64_t seed)
    : script_(script), sample_rate_(sample_rate) {
  phantom::Random random = phantom::Random(seed).Fork(201);
  noise_.reserve(kNoiseSamples);
  for (std::size_t i = 0; i < kNoiseSamples; ++i) noise_.push_back(static_cast<float>(random.Normal()));
  for (const phantom::ToolUse& use : script.tools) {
    clicks_s_.push_back(use.start_s);
    clicks_s_.push_back(use.end_s + 0.15);
  }
}

float PhantomSound::At(std::int64_t sample, double ultrasound, double aspiration) const {
  const double t = static_cast<double>(sample) / sample_rate_;
  const float noise = noise_[static_cast<std::size_t>(sample) % kNoiseSamples];
  double sound = 0.004 * noise + 0.006 * Sine(50, t);
  // The machine tells the power by pitch: a buzz that rises by steps.
  if (ultrasound > 0.01) {
    const double hz = 380 + 40 * std::floor(8 * ultrasound);
    sound += 0.11 * Sine(hz, t) + 0.05 * Sine(2 * hz, t) + 0.02 * ultrasound * noise;
  }
  if (aspiration > 0.01)
    sound += aspiration * (0.03 * Sine(118, t) + 0.012 * noise * (0.6 + 0.4 * Sine(7, t)));
  for (const double click : clicks_s_) {
    const double since = t - click;
    if (since >= 0 && since < 0.06)
      sound += 0.35 * std::exp(-since / 0.009) * (0.6 * Sine(2300, t) + 0.3 * noise);
  }
  return static_cast<float>(sound);
}

std::vector<float> PhantomSound::Samples(std::int64_t from, int count) const {
  std::vector<float> samples;
  samples.reserve(static_cast<std::size_t>(count));
  double ultrasound = 0;
  double aspiration = 0;
  std::int64_t looked_up = -1;
  for (std::int64_t i = from; i < from + count; ++i) {
    const std::int64_t control = i / kControlSamples;
    if (control != looked_up) {
      const double t = static_cast<double>(control * kControlSamples) / sample_rate_;
      ultrasound = script_.ultrasound.At(t);
      aspiration = script_.aspiration.At(t);
      looked_up = control;
    }
    samples.push_back(At(i, ultrasound, aspiration));
  }
  return samples;
}

}  // namespace afterscope
