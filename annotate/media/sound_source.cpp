// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_source.hpp"

#include <fmt/format.h>

#include <cstring>

namespace afterscope {

std::int64_t SoundOrigin(const RecordingShape& shape) {
  return RescaleTicks(shape.first.ticks, shape.time_base, {1, kSoundRate}, Rounding::kNearest).value_or(0);
}

Result<std::vector<float>> SoundSource::Read(std::int64_t first, std::int64_t count, const StopQuery& stop) {
  if (count < 0 || count > kMostSamples)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Sound comes in stretches of up to {} s.", kMostSamples / kSoundRate)};
  if (!helper_) {
    AFTERSCOPE_ASSIGN(helper_, HelperClient::Open(task_, stop));
  }
  auto samples = Ask(first, count, stop);
  if (!samples.ok()) helper_.reset();  // a late answer would be taken for the next one
  return samples;
}

Result<std::vector<float>> SoundSource::Ask(std::int64_t first, std::int64_t count, const StopQuery& stop) {
  helper_->Send(Message(HelperMessage::kSound).Int(first).Int(count).bytes());
  for (;;) {
    AFTERSCOPE_ASSIGN(const std::string answer, helper_->Receive(stop));
    WireReader reader(answer);
    if (static_cast<HelperMessage>(reader.Int()) != HelperMessage::kSoundBlock) continue;
    const std::string bytes = reader.Text();
    std::vector<float> samples(static_cast<std::size_t>(count) * kSoundChannels);
    if (bytes.size() != samples.size() * sizeof(float))
      return Error{ErrorCode::kUnreadable,
                   fmt::format("The decoder sent no sound while reading '{}'.", task_.path)};
    std::memcpy(samples.data(), bytes.data(), bytes.size());
    return samples;
  }
}

}  // namespace afterscope
