// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/journal.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What the case's journal says of a scrub that reached a signed review: that its journal ended with the entry
// of the one digest before, and may end with that of the other since.
struct VouchedScrub {
  std::string review;
  std::string from;
  std::string to;
};

// An item of the member `reviews` of a scrub entry; its names are among those that no scrub changes.
Json VouchingJson(const VouchedScrub& scrub);
// All of a case's journal, in its order.
std::vector<VouchedScrub> VouchedScrubs(const JournalContent& case_journal);

// Whether the entry is the one by which a review was signed.
bool IsSigning(const JournalLine& line);
bool HasSigning(const JournalContent& journal);

}  // namespace afterscope
