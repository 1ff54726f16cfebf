// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/agreement/timeline.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// Agreement by frame (by tick): how much of the time both reviewers have the same step running.
struct FrameAgreement {
  std::int64_t ticks = 0;  // of the stretch compared
  std::int64_t same = 0;
  double accuracy = 0;  // same / ticks
  double expected = 0;  // by chance, from how long each uses each step
  double kappa = 0;     // (accuracy - expected) / (1 - expected)
  std::string method;
  std::vector<std::string> cautions;
};

// Over `stretch`, which must contain both timelines; where a reviewer has no step, "none" is a label of its
// own. Kappa gets no limits: successive frames are not independent. Refused if the stretch is empty, or if
// both have one and the same step (or none) throughout.
Result<FrameAgreement> AgreementByFrame(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b,
                                        HalfOpen<std::int64_t> stretch);

// From the earlier start to the later end of the two; empty if both are.
HalfOpen<std::int64_t> CommonStretch(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b);

}  // namespace afterscope
