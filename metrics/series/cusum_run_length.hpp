// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <span>
#include <vector>

namespace afterscope {

// One case of a cumulative sum X = max(0, X + weight) that signals at a limit.
struct CusumStep {
  double success = 0;  // weight of a success
  double failure = 0;  // weight of a failure
  double risk = 0;     // the chance of a failure, 0 to 1
};

// The chance that the sum reaches `limit` at least once within these cases, by a Markov chain over 4000
// levels between 0 and the limit (Brook & Evans 1972, Biometrika 59:539), each score shared between the two
// nearest levels. Accurate to about 0.001 for a hundred cases.
double ChanceOfSignal(std::span<const CusumStep> cases, double limit);

// The smallest limit (to 0.001) that these cases reach with at most `chance`, in (0, 1). What is called a
// false signal depends on the risks given.
Result<double> LimitForChance(std::span<const CusumStep> cases, double chance);

}  // namespace afterscope
