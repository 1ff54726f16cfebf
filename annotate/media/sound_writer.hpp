// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <span>
#include <string>

namespace afterscope {

// Writes speech as Opus in Ogg (RFC 7845), about 4 KB a second: under a temporary name, synced, then given
// its name, with no metadata but the encoder's name that the format demands. `mono`: samples from -1 to 1 at
// kSoundRate. kBadCall where there are none, kUnwritable.
Status WriteSpeech(const std::string& path, std::span<const float> mono, FileSystem& files);

}  // namespace afterscope
