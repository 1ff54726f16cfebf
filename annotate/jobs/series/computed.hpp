// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "metrics/base/result.hpp"

#include <utility>

namespace afterscope {

template <class T>
Computed<T> ComputedFrom(Result<T> result) {
  if (!result.ok()) return {std::nullopt, result.error().message};
  return {std::move(*result), ""};
}

}  // namespace afterscope
