// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/voice_take.hpp"
#include "annotate/store/file_system.hpp"

#include <string>
#include <vector>

namespace afterscope {

// The takes of a case's narration lie in CASEDIR/clips/voice: takes.json and one sound file each (FORMAT.md).
std::string VoiceFolder(const std::string& case_folder);

// In order of their first frames. None where there is no file; kUnreadable for one that makes no sense.
Result<std::vector<VoiceTake>> LoadTakes(const std::string& case_folder,
                                         FileSystem& files = RealFileSystem());
// Replaces the list, whole or not at all; without takes its file is taken away.
Status SaveTakes(const std::string& case_folder, const std::vector<VoiceTake>& takes,
                 FileSystem& files = RealFileSystem());
// A name of a take's sound, as SaveTakes and KeepTake write it.
bool IsTakeFileName(const std::string& name);

}  // namespace afterscope
