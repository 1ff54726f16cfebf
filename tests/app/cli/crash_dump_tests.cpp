// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <chrono>
#include <csignal>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

// What the program has set of itself; empty where it has ended or is not yet the program.
std::string CoreLimitOf(pid_t process) {
  std::ifstream limits(fmt::format("/proc/{}/limits", process));
  std::string line;
  while (std::getline(limits, line))
    if (line.starts_with("Max core file size")) return line;
  return {};
}

// Starts the program, allowed to leave dumps; it waits for edits that never come.
pid_t StartWaiting(const std::string& folder, const std::string& edits) {
  const pid_t process = ::fork();
  if (process != 0) return process;
  rlimit limit{};
  ::getrlimit(RLIMIT_CORE, &limit);
  limit.rlim_cur = limit.rlim_max;
  ::setrlimit(RLIMIT_CORE, &limit);
  const int read = ::open(edits.c_str(), O_RDWR);
  if (read < 0 || ::dup2(read, STDIN_FILENO) < 0 || ::chdir(folder.c_str()) != 0) ::_exit(90);
  ::execl(places::kProgram, places::kProgram, "tag", "c", "--edits", "-", nullptr);
  ::_exit(91);
}

bool EndsIn(const std::string& line, const std::string& words) {
  return line.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("The program that crashes leaves no dump", "[privacy]") {
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_CORE, &before) == 0);
  if (before.rlim_max == 0)
    WARN("No dumps are allowed here anyway: only that the limit is nought is tested.");
  const TemporaryFolder folder;
  std::ofstream(folder / "steps.csv") << "step,start,end\nrhexis,0,20\n";
  int status = 0;
  OutputOf(
      fmt::format("cd {} && {} import c --steps steps.csv --rate 25 2>&1", folder.path(), places::kProgram),
      &status);
  REQUIRE(status == 0);
  const std::string edits = folder / "edits";
  REQUIRE(::mkfifo(edits.c_str(), 0600) == 0);
  const pid_t process = StartWaiting(folder.path(), edits);
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(60);
  while (!EndsIn(CoreLimitOf(process), " 0                    0 ") &&
         std::chrono::steady_clock::now() < until)
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  CHECK(EndsIn(CoreLimitOf(process), " 0                    0 "));
  // Not dumpable: what the kernel shows of it is root's, whoever runs it.
  struct stat shown {};
  const bool dumpable = ::stat(fmt::format("/proc/{}/fd", process).c_str(), &shown) != 0 || shown.st_uid != 0;
  CHECK((::geteuid() == 0 || !dumpable));
  REQUIRE(::kill(process, SIGABRT) == 0);
  int ended = 0;
  REQUIRE(::waitpid(process, &ended, 0) == process);
  REQUIRE(WIFSIGNALED(ended));
  CHECK(WTERMSIG(ended) == SIGABRT);
  CHECK_FALSE(WCOREDUMP(ended));
  for (const auto& entry : fs::directory_iterator(folder.path()))
    CHECK_FALSE(entry.path().filename().string().starts_with("core"));
}

}  // namespace afterscope
