// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/text_search.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// Replaces `text` by "[scrubbed]" in all journals and checkpoints of a case, in what users wrote: not in the
// record's own words, ids and digests; a spoken remark that holds the text also loses the name and digest of
// its sound. Chains are made anew, each closed with a scrub entry; a torn or damaged end of a journal is
// dropped or put aside first. In files that can't be read as a journal the text is replaced in their bytes;
// report.pdf and cache/, which are made anew at any time, are removed. Clip plans, captions and takes in
// clips/ are scrubbed too (ScrubClips), and the case's own step lists and score sheets (ScrubLists). Each
// file is replaced whole; a scrub that was interrupted is finished by doing it again. `by`: the code of who
// does it, kept with each scrub entry where the text is no part of it; empty: not said. Returns the number of
// journal entries changed. Refuses, before any text is replaced, a text without which a journal could not be
// read any more, and a case that a newer version wrote.
Result<int> ScrubCase(FileSystem& files, const std::string& case_folder, const std::string& text,
                      const std::string& by);

// The ids in a case of which the text is a part, in order: of reviews, of what is in them, of the case's step
// lists and score sheets. A scrub leaves them, for by them the files and entries of a case belong together.
std::vector<std::string> IdsThatHold(FileSystem& files, const std::string& case_folder,
                                     const std::string& text);

// Every occurrence replaced, whatever its case and the encoding of its accents (see FindCaseless).
std::string Scrubbed(std::string_view from, std::string_view text, TextForm form = TextForm::kPlain);

// Whether the first text may be what scrubs have left of the other: it is the same where it says "[scrubbed]"
// nowhere, and else before, between and after.
bool MayBeScrubbedOf(std::string_view scrubbed, std::string_view original);

}  // namespace afterscope
