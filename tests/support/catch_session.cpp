// SPDX-License-Identifier: Apache-2.0
#define CATCH_CONFIG_RUNNER
#include "tests/support/catch_session.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

int RunTests(int argc, char** argv) { return Catch::Session().run(argc, argv); }

}  // namespace afterscope
