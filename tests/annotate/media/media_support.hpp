// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Folder of recordings made by tests/support/make_media.sh beside the test program; made at the first call.
std::string MediaFolder();
std::vector<std::string> FilesIn(const std::string& folder);
// The recordings of Debian's opencv-doc package, unpacked where they are packed.
std::vector<std::string> DebianRecordings();
std::string NameOf(const std::string& path);

// For a shell command line.
std::string Quoted(const std::string& path);

// MD5 of every frame by the ffmpeg program, in its order; -autoscale 0: it would scale frames whose size
// differs from the first one's, and it is the decoded planes that are meant.
std::vector<std::string> ReferenceHashes(const std::string& file);
// best_effort_timestamp of every frame by the ffprobe program; empty where it says N/A.
std::vector<std::optional<std::int64_t>> ReferenceTicks(const std::string& file);

struct Opened {
  std::unique_ptr<Recording> recording;
  std::shared_ptr<const FrameTable> table;  // verified
};
// Opened with its frame table kept in `cache_folder`.
Opened OpenVerified(const std::string& file, const std::string& cache_folder);
// Whether a caution of the table contains these words.
bool Says(const FrameTable& table, const std::string& words);

}  // namespace afterscope
