// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// Replaces `text` by "[scrubbed]" in the journals and checkpoints of these folders (the case's and its
// reviews'), in what users wrote: not in the record's own words, ids and digests. A spoken remark that holds
// the text also loses the name and digest of its sound. Chains are made anew, each
// closed with a scrub entry. Each file is replaced whole; a scrub that was interrupted is finished by doing
// it again. Returns the number of journal entries changed. Refuses, before anything is written, a text
// without which a journal could not be read any more.
Result<int> ScrubFolders(FileSystem& files, const std::vector<std::string>& folders, const std::string& text);

// Every occurrence replaced; ASCII letters match in either case.
std::string Scrubbed(std::string_view from, std::string_view text);

}  // namespace afterscope
