// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/recording.hpp"
#include "app/common/command.hpp"

int main(int argc, char** argv) {
  if (const auto helper_status = afterscope::RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  return afterscope::RunCommand(argc, argv);
}
