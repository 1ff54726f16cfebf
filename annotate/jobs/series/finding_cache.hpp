// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "annotate/store/index/case_snapshot.hpp"
#include "annotate/store/index/index_rows.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The findings of one review as last computed, in CASEDIR/cache/findings-ID.json, with digests of what they
// were computed from. May be removed at any time. A line of the array "findings" is
// [name, step, operator, value or null, low, high, unit, recording or null, ticks].

// Raised by hand with every change of what a measure computes.
inline constexpr int kMeasuresVersion = 3;

// What findings are computed from: times ("time.") from visits, all others from marks, scales and trails;
// trails and what was followed from visits too (NeedsVisits); both with the case's fields that enter. Marks
// of the case's other reviews enter where they repeat these.
struct FindingSource {
  std::string times;
  std::string marks;
};
FindingSource FindingSourceOf(const CaseSnapshot& snapshot, const ReviewSnapshot& review);

bool IsTime(const IndexFinding& finding);

// Whether its marked findings are of steps or of one operator too.
bool NeedsVisits(const ReviewSnapshot& review);

// Whether anything is marked in a review.
bool IsMarked(const Review& review);

// Empty where there are none, or they are of another source or another version of the measures.
struct CachedFindings {
  std::optional<std::vector<IndexFinding>> times;
  std::optional<std::vector<IndexFinding>> others;
};
CachedFindings ReadFindingCache(const std::string& case_folder, const std::string& review,
                                const FindingSource& source, FileSystem& files);

// Where it can't be written nothing is lost.
void WriteFindingCache(const std::string& case_folder, const std::string& review, const FindingSource& source,
                       const std::vector<IndexFinding>& findings, FileSystem& files);

}  // namespace afterscope
