// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_envelope.hpp"

#include "annotate/media/sound_source.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace afterscope {
namespace {

constexpr std::int64_t kStepsAtOnce = 500;  // ten seconds
constexpr int kMostSoundFailures = 4;
constexpr double kQuietestDrawnDb = -60;

SoundLevel LevelOf(std::span<const float> samples) {
  SoundLevel level;
  double squares = 0;
  for (const float sample : samples) {
    level.peak = std::max(level.peak, std::abs(sample));
    squares += double{sample} * sample;
  }
  if (!samples.empty())
    level.rms = static_cast<float>(std::sqrt(squares / static_cast<double>(samples.size())));
  return level;
}

void Append(std::vector<SoundLevel>& levels, const std::vector<float>& samples) {
  constexpr std::size_t kEach = std::size_t{SoundEnvelope::kStep} * kSoundChannels;
  for (std::size_t at = 0; at + kEach <= samples.size(); at += kEach)
    levels.push_back(LevelOf(std::span(samples).subspan(at, kEach)));
}

std::int64_t StepsOf(const RecordingShape& shape) {
  const double seconds = (shape.end - shape.first).Seconds(shape.time_base);
  return std::max<std::int64_t>(
      0, static_cast<std::int64_t>(std::ceil(seconds * kSoundRate / SoundEnvelope::kStep)));
}

}  // namespace

SoundLevel LevelOver(const SoundEnvelope& envelope, double from_seconds, double to_seconds) {
  const auto steps = static_cast<double>(envelope.levels.size());
  const double per_second = double{kSoundRate} / SoundEnvelope::kStep;
  if (!(from_seconds < to_seconds)) return {};
  const auto first = static_cast<std::size_t>(std::clamp(std::floor(from_seconds * per_second), 0.0, steps));
  const auto last = static_cast<std::size_t>(std::clamp(std::ceil(to_seconds * per_second), 0.0, steps));
  SoundLevel over;
  double squares = 0;
  for (std::size_t i = first; i < last; ++i) {
    over.peak = std::max(over.peak, envelope.levels[i].peak);
    squares += double{envelope.levels[i].rms} * envelope.levels[i].rms;
  }
  if (first < last) over.rms = static_cast<float>(std::sqrt(squares / static_cast<double>(last - first)));
  return over;
}

double DrawnHeight(float level) {
  if (!(level > 0)) return 0;
  return std::clamp(1 - 20 * std::log10(double{level}) / kQuietestDrawnDb, 0.0, 1.0);
}

Result<SoundEnvelope> MakeSoundEnvelope(const Recording& recording, const Progress& progress,
                                        const StopQuery& stop) {
  SoundEnvelope envelope;
  if (!recording.info().sound) return envelope;
  const RecordingShape shape = recording.Shape();
  const std::int64_t steps = StepsOf(shape);
  HelperTask task;
  task.path = recording.info().path;
  task.background = true;
  SoundSource source(std::move(task));
  int failures = 0;
  for (std::int64_t step = 0; step < steps; step += kStepsAtOnce) {
    const std::int64_t count = std::min(kStepsAtOnce, steps - step) * SoundEnvelope::kStep;
    auto samples = source.Read(SoundOrigin(shape) + step * SoundEnvelope::kStep, count, stop);
    if (!samples.ok()) {
      if (samples.error().code == ErrorCode::kStopped || ++failures > kMostSoundFailures)
        return samples.error();
      samples = std::vector<float>(static_cast<std::size_t>(count) * kSoundChannels);
    }
    Append(envelope.levels, *samples);
    Report(progress, static_cast<double>(step) / static_cast<double>(steps));
  }
  return envelope;
}

}  // namespace afterscope
