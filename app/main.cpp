// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/recording.hpp"
#include "app/common/command.hpp"
#include "app/common/window.hpp"

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

namespace {

bool IsVerb(const std::string& word) {
  const auto commands = afterscope::Commands();
  return std::any_of(commands.begin(), commands.end(),
                     [&](const auto& command) { return command.verb == word; });
}

// Nothing, a case folder or recordings open the window; a word that is neither a verb nor a file is a
// mistyped verb.
bool WantsWindow(const std::vector<std::string>& words) {
  if (words.empty()) return true;
  std::error_code ignored;
  return !IsVerb(words[0]) && !words[0].starts_with('-') && std::filesystem::exists(words[0], ignored);
}

}  // namespace

int main(int argc, char** argv) {
  if (const auto helper_status = afterscope::RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  const std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
  return WantsWindow(words) ? afterscope::OpenWindow(words) : afterscope::RunCommand(argc, argv);
}
