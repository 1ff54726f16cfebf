// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"

namespace afterscope::places {

const char* const kProgram = AFTERSCOPE_PROGRAM;
const char* const kTestSupport = AFTERSCOPE_TEST_SUPPORT;
const char* const kTestData = AFTERSCOPE_TEST_DATA;
const char* const kAssets = AFTERSCOPE_ASSETS;

}  // namespace afterscope::places
