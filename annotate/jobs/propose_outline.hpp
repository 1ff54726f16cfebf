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
  // Of a rhexis or lens edge: the clicks as they were, and between them a point wherever the edge is seen. Of
  // a limbus or pupil: twelve points evenly along the ellipse that is found, in place of the clicks.
  Mark mark;
  EdgeProposal edge;  // empty of a limbus or pupil
  std::string said;   // how much of it is seen, and of an edge what hides the rest, by clock hour if known
};

// Limbus and pupil: they are found without a click.
bool IsFoundUnclicked(MarkKind kind);

// An outline of the rhexis or the lens edge from the few points of it that were clicked, and the picture of
// its frame. Where the pupil is outlined on that frame, or can be found there, nothing is sought beyond it.
// A limbus or pupil needs no click; the first of one or two says where the pupil is, as does the middle of
// more, unless it proves to lie outside the pupil. No click lies far outside the limbus that is found.
// Errors: kBadCall for another kind of mark, another frame's picture or one that is too small; kNotComputable
// where no limbus or pupil is found with trust; those of ProposeEdge.
Result<ProposedOutline> ProposeOutline(const CaseRecord& record, const Review& review, const Mark& clicks,
                                       const Picture& picture);

}  // namespace afterscope
