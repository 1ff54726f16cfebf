// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/video_writer.hpp"

#include <string>
#include <vector>

namespace afterscope {

// An MP4's movie box with a list of chapters in its user data (a `chpl` box, which players know). It is the
// kind of list that needs no track of words: to ffprobe such a track is one without a decoder, and it warns.
// At most 255 chapters, of 255 bytes of title each (the counts have one byte); times are in units of 100 ns.
// Empty if `movie` is no whole movie box.
std::string MovieWithChapters(const std::string& movie, const std::vector<WrittenChapter>& chapters);

}  // namespace afterscope
