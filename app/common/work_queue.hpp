// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <functional>
#include <vector>

namespace afterscope {

// A piece of work that knows no threads.
using WorkItem = std::function<Status(const Progress&, const StopQuery&)>;

// Runs the items in order on `workers` threads and waits for all. The first failure stops the others and is
// returned. `progress` (mean over the items) is called from this thread.
Status RunAll(const std::vector<WorkItem>& items, int workers, const Progress& progress,
              const StopQuery& stop);

}  // namespace afterscope
