// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/av.hpp"

#include <vector>

namespace afterscope {

// The sound streams of a file that can be decoded: a decoder is there, rate and channels make sense. Numbers
// of streams, in their order.
std::vector<int> SoundTracks(const AVFormatContext& format);
// Whether there is any sound stream, decodable or not.
bool HasSoundStream(const AVFormatContext& format);

}  // namespace afterscope
