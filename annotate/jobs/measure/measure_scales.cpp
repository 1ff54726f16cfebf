// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

void AddFactor(const MeasureContext& context, const char* name, Plane plane, std::vector<Finding>& out) {
  const PlaneFactor factor = FactorAt(plane, context.facts);
  Measured measured{EstimateNormal(factor.value, factor.sd),
                    "1",
                    "M = 1/(1 - dF/n), n = 1.336, from corneal power and depth",
                    {}};
  if (!context.facts.power_d)
    measured.cautions.push_back("the corneal power was not measured: 43.53 +- 1.5 D taken");
  if (!context.facts.chamber_depth_mm)
    measured.cautions.push_back("the chamber depth was not measured: 3.28 +- 0.35 mm taken");
  out.push_back(MakeFinding(context, name, std::move(measured), {}));
}

}  // namespace

void MeasureScales(const MeasureContext& context, std::vector<Finding>& out) {
  for (const ResolvedScale& scale : context.scales) {
    Origin origin;
    origin.scale = &scale;
    for (const Mark& mark : context.review.marks)
      if (mark.id == scale.mark) origin.marks.push_back(&mark);
    Measured measured = NotMeasured("mm/px", scale.method, scale.reason);
    if (scale.scale) {
      const double k = scale.scale->MmPerSq();
      measured = {EstimateNormal(k, k * scale.scale->relative_sd), "mm/px", scale.method,
                  scale.scale->cautions};
    }
    out.push_back(MakeFinding(context, "scale.mm_per_px", std::move(measured), origin));
  }
  if (context.scales.empty())
    out.push_back(MakeFinding(context, "scale.mm_per_px", NotMeasured("mm/px", "none", kNoScaleReason), {}));
  AddFactor(context, "scale.factor_capsule", Plane::kCapsule, out);
  AddFactor(context, "scale.factor_lens", Plane::kLens, out);
}

}  // namespace afterscope
