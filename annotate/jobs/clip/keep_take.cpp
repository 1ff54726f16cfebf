// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/keep_take.hpp"

#include "annotate/clip/clip_plan.hpp"
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/spoken_remark.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/media/sound_format.hpp"
#include "annotate/media/sound_writer.hpp"
#include "annotate/store/clips_lock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostSoundBytes = 64 << 20;
constexpr std::int64_t kMostFileBytes = 512LL << 20;

std::string NewTakeFile() {
  std::random_device random;
  return fmt::format("take-{:08x}{:08x}{:08x}{:08x}.ogg", random(), random(), random(), random());
}

std::string FreeId(const std::vector<VoiceTake>& takes) {
  for (std::size_t number = takes.size() + 1;; ++number) {
    std::string id = fmt::format("take{}", number);
    if (std::none_of(takes.begin(), takes.end(), [&](const VoiceTake& take) { return take.id == id; }))
      return id;
  }
}

Result<std::size_t> IndexOf(const std::vector<VoiceTake>& takes, const std::string& id) {
  for (std::size_t i = 0; i < takes.size(); ++i)
    if (takes[i].id == id) return i;
  return Error{ErrorCode::kBadCall, fmt::format("There is no take '{}' of the narration.", id)};
}

Status CheckSpoken(std::span<const float> mono, const std::vector<TakeAnchor>& seen) {
  if (mono.empty() || seen.empty())
    return Error{ErrorCode::kBadCall, "Nothing was spoken: no take of the narration is kept."};
  if (static_cast<double>(mono.size()) > kMostTakeSeconds * kSoundRate)
    return Error{ErrorCode::kBadCall,
                 fmt::format("A take of the narration lasts at most {:.0f} s.", kMostTakeSeconds)};
  return {};
}

Status CheckWords(const std::string& words) {
  if (CanBeKept(words)) return {};
  return Error{ErrorCode::kBadCall,
               "The words of a take must be text without control characters, at most 65536 bytes."};
}

void RemoveSound(const std::string& case_folder, const VoiceTake& take, FileSystem& files) {
  // One that can't be removed is only not named any more.
  if (IsTakeFileName(take.file)) (void)files.Remove(VoiceFolder(case_folder) + "/" + take.file);
}

// What a program left that ended before the list had the take.
void RemoveUnnamed(const std::string& case_folder, const std::vector<VoiceTake>& takes, FileSystem& files) {
  const auto names = files.List(VoiceFolder(case_folder));
  if (!names.ok()) return;
  for (const std::string& name : *names)
    if (IsTakeFileName(name) &&
        std::none_of(takes.begin(), takes.end(), [&](const VoiceTake& take) { return take.file == name; }))
      static_cast<void>(files.Remove(VoiceFolder(case_folder) + "/" + name));
}

// "talk.ogg", "talk-2.ogg", "talk-3.ogg" ...
std::string Numbered(const std::string& name, int number) {
  if (number == 1) return name;
  const std::filesystem::path path(name);
  return fmt::format("{}-{}{}", path.stem().string(), number, path.extension().string());
}

}  // namespace

Result<VoiceTake> KeepTake(const std::string& case_folder, std::span<const float> mono,
                           const std::vector<TakeAnchor>& seen, const CaseClock& clock,
                           const std::string& replaces, FileSystem& files) {
  AFTERSCOPE_TRY(CheckSpoken(mono, seen));
  AFTERSCOPE_ASSIGN(const auto lock, LockClips(files, case_folder));
  AFTERSCOPE_ASSIGN(std::vector<VoiceTake> takes, LoadTakes(case_folder, files));
  RemoveUnnamed(case_folder, takes, files);
  VoiceTake take;
  take.id = FreeId(takes);
  std::optional<VoiceTake> before;
  if (!replaces.empty()) {
    AFTERSCOPE_ASSIGN(const std::size_t index, IndexOf(takes, replaces));
    before = takes[index];
    take.id = before->id;
    take.words = before->words;
    takes.erase(takes.begin() + static_cast<std::ptrdiff_t>(index));
  }
  take.file = NewTakeFile();
  take.seconds = static_cast<double>(mono.size()) / kSoundRate;
  take.path = PathFrom(seen, take.seconds, clock);
  const std::string path = VoiceFolder(case_folder) + "/" + take.file;
  AFTERSCOPE_TRY(MakeFolders(files, VoiceFolder(case_folder)));
  AFTERSCOPE_TRY(WriteSpeech(path, mono, files));
  AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(path, kMostSoundBytes));
  take.sha256 = Sha256Hex(bytes);
  takes.push_back(take);
  if (const Status saved = SaveTakes(case_folder, takes, files); !saved.ok()) {
    RemoveSound(case_folder, take, files);
    return saved.error();
  }
  if (before) RemoveSound(case_folder, *before, files);
  return take;
}

Result<VoiceTake> TakeFromFile(const std::string& case_folder, const std::string& path, FrameRef start,
                               const CaseClock& clock, const std::string& words, const StopQuery& stop,
                               FileSystem& files) {
  AFTERSCOPE_TRY(CheckWords(words));
  AFTERSCOPE_ASSIGN(const std::vector<float> stereo, ReadSpoken(path, stop));
  std::vector<float> mono(stereo.size() / kSoundChannels);
  for (std::size_t i = 0; i < mono.size(); ++i) mono[i] = (stereo[2 * i] + stereo[2 * i + 1]) / 2;
  const double seconds = static_cast<double>(mono.size()) / kSoundRate;
  const std::vector<TakeAnchor> seen{{0, start}, {seconds, clock.At(clock.Seconds(start) + seconds)}};
  AFTERSCOPE_ASSIGN(VoiceTake take, KeepTake(case_folder, mono, seen, clock, {}, files));
  if (words.empty()) return take;
  take.words = words;
  AFTERSCOPE_TRY(SetTakeWords(case_folder, take.id, words, files));
  return take;
}

Status RemoveTake(const std::string& case_folder, const std::string& id, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const auto lock, LockClips(files, case_folder));
  AFTERSCOPE_ASSIGN(std::vector<VoiceTake> takes, LoadTakes(case_folder, files));
  AFTERSCOPE_ASSIGN(const std::size_t index, IndexOf(takes, id));
  const VoiceTake gone = takes[index];
  takes.erase(takes.begin() + static_cast<std::ptrdiff_t>(index));
  AFTERSCOPE_TRY(SaveTakes(case_folder, takes, files));
  RemoveSound(case_folder, gone, files);
  return {};
}

Status SetTakeWords(const std::string& case_folder, const std::string& id, const std::string& words,
                    FileSystem& files) {
  AFTERSCOPE_TRY(CheckWords(words));
  AFTERSCOPE_ASSIGN(const auto lock, LockClips(files, case_folder));
  AFTERSCOPE_ASSIGN(std::vector<VoiceTake> takes, LoadTakes(case_folder, files));
  AFTERSCOPE_ASSIGN(const std::size_t index, IndexOf(takes, id));
  takes[index].words = words;
  return SaveTakes(case_folder, takes, files);
}

std::vector<std::string> CheckTakes(const std::string& case_folder, FileSystem& files) {
  const auto takes = LoadTakes(case_folder, files);
  if (!takes.ok()) return {takes.error().message};
  std::vector<std::string> wrong;
  for (const VoiceTake& take : *takes) {
    if (!IsTakeFileName(take.file)) continue;  // scrubbed
    const std::string path = VoiceFolder(case_folder) + "/" + take.file;
    const auto bytes = files.ReadAll(path, kMostSoundBytes);
    if (!bytes.ok())
      wrong.push_back(fmt::format("The sound of take '{}' is missing: {}", take.id, bytes.error().message));
    else if (Sha256Hex(*bytes) != take.sha256)
      wrong.push_back(
          fmt::format("The sound of take '{}' is not as it was spoken: '{}' was changed.", take.id, path));
  }
  return wrong;
}

Result<std::string> KeepSoundFile(const std::string& case_folder, const std::string& path,
                                  FileSystem& files) {
  const std::string name = std::filesystem::path(path).filename().string();
  AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(path, kMostFileBytes));
  AFTERSCOPE_ASSIGN(const auto lock, LockClips(files, case_folder));
  AFTERSCOPE_TRY(MakeFolders(files, case_folder + "/clips/sounds"));
  for (int number = 1;; ++number) {
    const std::string kept = "clips/sounds/" + Numbered(name, number);
    const std::string target = fmt::format("{}/{}", case_folder, kept);
    std::error_code unknown;
    if (std::filesystem::equivalent(path, target, unknown)) return kept;
    AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(target));
    if (there.type == FileType::kAbsent) {
      AFTERSCOPE_TRY(WriteNewFile(files, target, bytes));
      return kept;
    }
    if (there.size != static_cast<std::int64_t>(bytes.size())) continue;
    if (const auto same = files.ReadAll(target, kMostFileBytes); same.ok() && *same == bytes) return kept;
  }
}

}  // namespace afterscope
