// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/spoken_remark.hpp"

#include "annotate/media/digest.hpp"
#include "annotate/media/sound_source.hpp"
#include "annotate/media/sound_writer.hpp"
#include "annotate/platform/machine.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 64 << 20;
constexpr float kInaudible = 1e-4F;

}  // namespace

Result<EditGroup> KeepSpoken(CaseSession& session, FrameRef at, std::span<const float> mono,
                             FileSystem& files) {
  const double seconds = static_cast<double>(mono.size()) / kSoundRate;
  if (seconds > kMostSpokenSeconds)
    return Error{ErrorCode::kBadCall,
                 fmt::format("A spoken remark lasts at most {:.0f} s.", kMostSpokenSeconds)};
  if (session.read_only())
    return Error{ErrorCode::kUnwritable, "A spoken remark can't be kept: the case is open read-only."};
  const std::string folder = SpokenFolder(session.folder(), session.review().id);
  const std::string name = NewSpokenName();
  AFTERSCOPE_TRY(MakeFolders(files, folder));
  AFTERSCOPE_TRY(WriteSpeech(folder + "/" + name, mono, files));
  AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(folder + "/" + name, kMostBytes));
  Moment moment;
  moment.id = session.NewMomentId();
  moment.at = at;
  SetSpoken(moment, {name, Sha256Hex(bytes), seconds});
  return EditGroup{"Spoken remark", {Put<Moment>{std::move(moment)}}};
}

// How long a file claims to be is not asked: it ends where only silence follows.
Result<std::vector<float>> ReadSpoken(const std::string& path, const StopQuery& stop) {
  constexpr std::int64_t kAtOnce = 30LL * kSoundRate;
  HelperTask task;
  AFTERSCOPE_ASSIGN(const RegularFile file, LookAtRegularFile(path));
  task.path = file.absolute_path;
  SoundSource source(std::move(task));
  std::vector<float> all;
  for (std::int64_t at = 0; at < static_cast<std::int64_t>(kMostSpokenSeconds) * kSoundRate; at += kAtOnce) {
    AFTERSCOPE_ASSIGN(const std::vector<float> part, source.Read(at, kAtOnce, stop));
    const auto heard =
        std::find_if(part.rbegin(), part.rend(), [](float s) { return s > kInaudible || s < -kInaudible; });
    const auto end = part.begin() + (part.rend() - heard + 1) / kSoundChannels * kSoundChannels;
    all.insert(all.end(), part.begin(), end);
    if (end != part.end()) break;
  }
  return all;
}

const Moment* SpokenBefore(const Review& review, FrameRef at) {
  const Moment* found = nullptr;
  for (const Moment& moment : review.moments)
    if (moment.at <= at && SpokenOf(moment)) found = &moment;
  return found;
}

}  // namespace afterscope
