// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/curve.hpp"

#include "metrics/phantom/tip_path.hpp"

#include <algorithm>

namespace afterscope::phantom {

double Curve::At(double seconds) const {
  if (keys_.empty()) return 0;
  const auto after =
      std::find_if(keys_.begin(), keys_.end(), [&](const auto& key) { return key.first > seconds; });
  if (after == keys_.begin()) return after->second;
  const auto& from = *(after - 1);
  if (after == keys_.end()) return from.second;
  const double share = MinimumJerk((seconds - from.first) / (after->first - from.first));
  return from.second + share * (after->second - from.second);
}

}  // namespace afterscope::phantom
