// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/measure_context.hpp"
#include "annotate/jobs/measure/rhexis_stage.hpp"
#include "metrics/rhexis/repeated_size.hpp"
#include "metrics/series/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

const char* const kRepeatedMethod =
    "mean over the frames on which this outline was marked; limits from marking and from how the frames "
    "differ";
const char* const kRepeatabilityMethod =
    "1.96 root 2 times the standard deviation of the equivalent diameter between frames: two measures differ "
    "by less in 95 of 100 cases";
const char* const kOneFrame = "outlined on fewer than two frames: how far a measure repeats is not known";

struct Pooled {
  const char* name;
  std::vector<double> ShapeDraws::*draws;
  int power;  // of a length
};
// No ratios: what they are off by is partly the same on all frames, so that their limits held too seldom.
constexpr std::array kPooled{Pooled{"diameter_largest", &ShapeDraws::largest, 1},
                             Pooled{"diameter_smallest", &ShapeDraws::smallest, 1},
                             Pooled{"diameter_equivalent", &ShapeDraws::equivalent, 1},
                             Pooled{"area", &ShapeDraws::area, 2}};

const char* UnitOf(int power) { return power == 1 ? "mm" : "mm2"; }

using Outlines = std::vector<const MarkedOutline*>;

bool IsRhexis(const Mark& mark) {
  const auto opening = mark.fields.find("opening");
  return opening == mark.fields.end() || opening->second.empty() || opening->second == "rhexis";
}

Outlines OutlinesOf(const MeasureContext& context, RhexisStage stage) {
  Outlines out;
  for (const MarkedOutline& outline : context.outlines)
    if (outline.mark->kind == MarkKind::kRhexis && StageOf(*outline.mark).plane == stage.plane &&
        outline.model && IsRhexis(*outline.mark))
      out.push_back(&outline);
  return out;
}

struct Sizes {
  std::vector<SizeOnFrame> sizes;
  double shared_relative_sd = 0;
  const ResolvedScale* scale = nullptr;
};

// Empty where a length has no scale on one of the frames.
std::optional<Sizes> SizesOf(const MeasureContext& context, RhexisStage stage, const Outlines& outlines,
                             const Pooled& what) {
  Sizes out;
  for (const MarkedOutline* outline : outlines) {
    const auto e = EstimateFromDraws(outline->draws.*(what.draws));
    const auto scale = context.ScaleAt(outline->mark->at, stage.plane);
    if (!e || !scale) return std::nullopt;
    const double sd = (e->high - e->low) / (2 * kNormal95);
    const double factor = std::pow(scale->mm_per_sq, what.power);
    out.sizes.push_back({factor * e->value, factor * sd});
    out.shared_relative_sd = std::max(out.shared_relative_sd, what.power * scale->relative_sd);
    out.scale = scale->source;
  }
  return out;
}

class PooledFindings {
 public:
  PooledFindings(const MeasureContext& context, RhexisStage stage, const Outlines& outlines,
                 std::vector<Finding>& out)
      : context_(context), stage_(stage), out_(out) {
    for (const MarkedOutline* outline : outlines) origin_.marks.push_back(outline->mark);
  }
  void Put(const char* name, Measured measured, const ResolvedScale* scale = nullptr) {
    Origin origin = origin_;
    origin.scale = scale;
    out_.push_back(
        MakeFinding(context_, fmt::format("{}pooled.{}", stage_.prefix, name), std::move(measured), origin));
  }

 private:
  const MeasureContext& context_;
  RhexisStage stage_;
  Origin origin_;
  std::vector<Finding>& out_;
};

void AddNone(PooledFindings& add, const char* reason) {
  for (const Pooled& what : kPooled)
    add.Put(what.name, NotMeasured(UnitOf(what.power), kRepeatedMethod, reason));
  add.Put("repeatability", NotMeasured("mm", kRepeatabilityMethod, reason));
}

void MeasureStage(const MeasureContext& context, RhexisStage stage, std::vector<Finding>& out) {
  const Outlines outlines = OutlinesOf(context, stage);
  if (outlines.size() < 2) {
    PooledFindings none(context, stage, {}, out);
    return AddNone(none, kOneFrame);
  }
  PooledFindings add(context, stage, outlines, out);
  const std::string method = fmt::format("{} ({} frames)", kRepeatedMethod, outlines.size());
  std::optional<Estimate> repeatability;
  for (const Pooled& what : kPooled) {
    const auto sizes = SizesOf(context, stage, outlines, what);
    const auto pooled = sizes ? PoolSizes(sizes->sizes, sizes->shared_relative_sd) : std::nullopt;
    if (!pooled) {
      add.Put(what.name, NotMeasured(UnitOf(what.power), method, sizes ? kOneFrame : kNoScaleReason));
      continue;
    }
    add.Put(what.name, {pooled->value, UnitOf(what.power), method, {}}, sizes->scale);
    if (what.draws == &ShapeDraws::equivalent) repeatability = pooled->repeatability;
  }
  if (repeatability)
    add.Put("repeatability", {*repeatability, "mm", kRepeatabilityMethod, {}});
  else
    add.Put("repeatability", NotMeasured("mm", kRepeatabilityMethod, kNoScaleReason));
}

}  // namespace

void MeasureRepeatedRhexis(const MeasureContext& context, std::vector<Finding>& out) {
  for (const RhexisStage stage : {kAtCompletion, kOverOptic}) MeasureStage(context, stage, out);
}

}  // namespace afterscope
