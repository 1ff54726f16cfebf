// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/replay.hpp"
#include "tests/fuzz/window_targets.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Readers of the user's own files take the seeds, and changed ones, without harm", "[fuzz]") {
  ReplaySeeds(WindowFuzzTargets());
}

}  // namespace afterscope
