// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/voice_take.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <span>
#include <string>
#include <vector>

namespace afterscope {

inline constexpr double kMostTakeSeconds = 300;

// Keeps what was spoken (mono, kSoundRate, at most kMostTakeSeconds) with the frames that were on the screen
// meanwhile: the sound is written and synced before the list names it. `replaces`: the id of the take whose
// place, id and words it takes; its sound goes once the new one is kept. Empty: another take. Returns the
// take. kBadCall for no sound, no frames, too much of it or an unknown take; kUnwritable.
Result<VoiceTake> KeepTake(const std::string& case_folder, std::span<const float> mono,
                           const std::vector<TakeAnchor>& seen, const CaseClock& clock,
                           const std::string& replaces, FileSystem& files = RealFileSystem());

// A sound file as a take, spoken while the case played at its normal speed from `start` on. What is longer
// than kMostTakeSeconds is refused. Decoded in a helper process.
Result<VoiceTake> TakeFromFile(const std::string& case_folder, const std::string& path, FrameRef start,
                               const CaseClock& clock, const std::string& words, const StopQuery& stop,
                               FileSystem& files = RealFileSystem());

// kBadCall for an unknown take. Changes of takes and sounds by several programs follow one another
// (clips_lock.hpp).
Status RemoveTake(const std::string& case_folder, const std::string& id,
                  FileSystem& files = RealFileSystem());
Status SetTakeWords(const std::string& case_folder, const std::string& id, const std::string& words,
                    FileSystem& files = RealFileSystem());

// What is wrong with the takes of a case, one sentence each: a sound that is missing or was changed.
std::vector<std::string> CheckTakes(const std::string& case_folder, FileSystem& files = RealFileSystem());

// Copies a sound file into the case's clips/sounds, so that its plans can name it; returns that name,
// relative to the case folder. One that lies there already keeps its place; another sound under its name gets
// a number after the name.
Result<std::string> KeepSoundFile(const std::string& case_folder, const std::string& path,
                                  FileSystem& files = RealFileSystem());

}  // namespace afterscope
