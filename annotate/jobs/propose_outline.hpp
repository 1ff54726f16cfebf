// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"
#include "metrics/rhexis/edge_proposal.hpp"

#include <string>

namespace afterscope {

struct ProposedOutline {
  Mark mark;  // the clicks as they were, and between them a point wherever the edge is seen
  EdgeProposal edge;
  std::string said;  // at how many places it is seen, and what hides it at the others, by clock hour if known
};

// An outline of the rhexis or the lens edge from the few points of it that were clicked, and the picture of
// its frame. Where the pupil is outlined on that frame, or can be found there, nothing is sought beyond it.
// Errors: kBadCall for another kind of mark or another frame's picture; those of ProposeEdge.
Result<ProposedOutline> ProposeOutline(const CaseRecord& record, const Review& review, const Mark& clicks,
                                       const Picture& picture);

}  // namespace afterscope
