// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Replaces a text in CASEDIR/clips: in the plans, in captions beside clips, and in the words of takes, each
// of which then loses its sound. Clips and stills made earlier may show or say what was scrubbed; they are
// made anew from their plan at any time and are removed where the record (`record_changed`) or anything in
// clips/ held the text, or their own name does. A plan whose name holds it gets one that is free (scrubbed,
// scrubbed-2 ...), its captions the same. A sound file whose name holds it is removed.
Status ScrubClips(FileSystem& files, const std::string& case_folder, const std::string& text,
                  bool record_changed);

}  // namespace afterscope
