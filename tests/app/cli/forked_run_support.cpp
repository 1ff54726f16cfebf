// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"

#include "app/common/command.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sys/wait.h>
#include <unistd.h>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

std::vector<std::string> Words(const std::string& arguments) {
  std::vector<std::string> words{"afterscope"};
  bool quoted = false;
  bool in_word = false;
  for (const char c : arguments) {
    if (c == ' ' && !quoted) {
      in_word = false;
      continue;
    }
    if (!in_word) words.emplace_back();
    in_word = true;
    if (c == '\'')
      quoted = !quoted;
    else
      words.back() += c;
  }
  return words;
}

int RunHere(const std::string& folder, const std::string& arguments, const TemporaryFolder& said,
            const std::function<int()>& work) {
  for (const auto& [name, inside] : {std::pair("XDG_DATA_HOME", "data"), std::pair("XDG_CACHE_HOME", "cache"),
                                     std::pair("XDG_CONFIG_HOME", "config")})
    ::setenv(name, fmt::format("{}/{}", folder, inside).c_str(), 1);
  if (::chdir(folder.c_str()) != 0 || !std::freopen((said / "out").c_str(), "w", stdout) ||
      !std::freopen((said / "err").c_str(), "w", stderr))
    return 99;
  std::vector<std::string> words = Words(arguments);
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  const int status = work ? work() : RunCommand(static_cast<int>(argv.size()), argv.data());
  std::fflush(stderr);
  return status;
}

}  // namespace

ForkedRun RunForked(const std::string& folder, const std::string& arguments,
                    const std::function<void()>& before, const std::function<int()>& work) {
  const TemporaryFolder said;
  std::fflush(nullptr);  // else what waits to be printed is printed twice
  const pid_t child = ::fork();
  if (child == 0) {
    if (before) before();
    ::_exit(RunHere(folder, arguments, said, work));
  }
  int ended = 0;
  REQUIRE(::waitpid(child, &ended, 0) == child);
  return {WIFEXITED(ended) ? WEXITSTATUS(ended) : 128 + WTERMSIG(ended), BytesOf(said / "out"),
          BytesOf(said / "err")};
}

std::string Done(const std::string& folder, const std::string& arguments) {
  const ForkedRun run = RunForked(folder, arguments);
  INFO(arguments << ": " << run.err);
  REQUIRE(run.status == 0);
  return run.out;
}

bool Has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

std::string BytesOf(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void WriteBytes(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

}  // namespace afterscope
