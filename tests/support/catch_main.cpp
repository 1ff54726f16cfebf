// SPDX-License-Identifier: Apache-2.0
#include "tests/support/catch_session.hpp"

#ifdef AFTERSCOPE_MEDIA_HELPER
#include "annotate/media/recording.hpp"
#endif

int main(int argc, char** argv) {
#ifdef AFTERSCOPE_MEDIA_HELPER
  if (const auto helper_status = afterscope::RunMediaHelperIfAsked(argc, argv)) return *helper_status;
#endif
  return afterscope::RunTests(argc, argv);
}
