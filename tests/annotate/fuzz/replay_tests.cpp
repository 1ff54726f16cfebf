// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/replay.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("Readers of other people's files take the seeds, and changed ones, without harm", "[fuzz]") {
  ReplaySeeds(FuzzTargets());
}

}  // namespace afterscope
