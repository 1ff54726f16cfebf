// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/visit_f1.hpp"

#include <vector>

namespace afterscope {
namespace {

// The visit of `runs` with the label of `visit` that overlaps it most, and by how much; -1 if none does.
int Nearest(const std::vector<LabelledSpan>& runs, const LabelledSpan& visit, double& most) {
  int nearest = -1;
  most = 0;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (runs[i].label != visit.label || !runs[i].span.Overlaps(visit.span)) continue;
    const double overlap = SpanOverlap(runs[i].span, visit.span);
    if (overlap <= most) continue;
    most = overlap;
    nearest = static_cast<int>(i);
  }
  return nearest;
}

}  // namespace

Result<VisitF1> VisitF1At(std::span<const LabelledSpan> reference, std::span<const LabelledSpan> compared,
                          double overlap) {
  AFTERSCOPE_TRY(CheckTimeline(reference));
  AFTERSCOPE_TRY(CheckTimeline(compared));
  if (!(overlap > 0 && overlap <= 1))
    return Error{ErrorCode::kBadCall, "The overlap that makes a match lies above 0 and up to 1."};
  const std::vector<LabelledSpan> truth = JoinedRuns(reference);
  const std::vector<LabelledSpan> visits = JoinedRuns(compared);
  std::vector<bool> taken(truth.size(), false);
  VisitF1 out;
  out.overlap = overlap;
  for (const LabelledSpan& visit : visits) {
    double most = 0;
    const int nearest = Nearest(truth, visit, most);
    if (nearest < 0 || most < overlap || taken[static_cast<std::size_t>(nearest)]) continue;
    taken[static_cast<std::size_t>(nearest)] = true;
    ++out.matched;
  }
  out.only_compared = static_cast<int>(visits.size()) - out.matched;
  out.only_reference = static_cast<int>(truth.size()) - out.matched;
  if (!visits.empty()) out.precision = out.matched / static_cast<double>(visits.size());
  if (!truth.empty()) out.recall = out.matched / static_cast<double>(truth.size());
  if (out.matched > 0) out.f1 = 2 * out.precision * out.recall / (out.precision + out.recall);
  return out;
}

}  // namespace afterscope
