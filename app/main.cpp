// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/recording.hpp"
#include "annotate/platform/program.hpp"
#include "app/common/command.hpp"
#include "app/common/console.hpp"
#include "app/common/window.hpp"
#include "metrics/base/result.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <new>
#include <string>
#include <vector>

namespace {

bool IsVerb(const std::string& word) {
  const auto commands = afterscope::Commands();
  return std::any_of(commands.begin(), commands.end(),
                     [&](const auto& command) { return command.verb == word; });
}

bool Exists(const std::string& path) {
  std::error_code ignored;
  return std::filesystem::exists(path, ignored);
}

int Run(int argc, char** argv) {
  const std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
  if (words.empty()) return afterscope::OpenWindow(words);
  if (IsVerb(words[0]) || words[0].starts_with('-')) return afterscope::RunCommand(argc, argv);
  if (Exists(words[0])) return afterscope::OpenWindow(words);  // a case, a folder of cases, or recordings
  afterscope::Say(stderr, "There is no verb and no file '{}'; see afterscope --help.\n", words[0]);
  return static_cast<int>(afterscope::ErrorCode::kBadCall);
}

}  // namespace

int main(int argc, char** argv) {
  afterscope::KeepNoCrashDumps();
  afterscope::KeepFreedMemory();
  if (const auto helper_status = afterscope::RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  try {
    return Run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("There is not enough memory for this; close other programs and try again.\n", stderr);
    return static_cast<int>(afterscope::ErrorCode::kNotComputable);
  }
}
