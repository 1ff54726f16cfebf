// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/terminal.hpp"

#include <csignal>
#include <ctime>
#include <unistd.h>

namespace afterscope {
namespace {

constexpr std::time_t kOnceSeconds = 2;  // signals that come together are one wish: some senders send two

volatile std::sig_atomic_t interrupted = 0;
timespec first{};  // set before `interrupted`

// A second wish ends the program at once.
extern "C" void NoteInterrupt(int signal) {
  timespec now{};
  clock_gettime(CLOCK_MONOTONIC, &now);
  if (interrupted == 0) {
    first = now;
    interrupted = 1;
  } else if (now.tv_sec - first.tv_sec >= kOnceSeconds) {
    std::signal(signal, SIG_DFL);
    std::raise(signal);
  }
}

}  // namespace

bool StandardErrorIsTerminal() { return isatty(STDERR_FILENO) == 1; }
bool StandardOutputIsTerminal() { return isatty(STDOUT_FILENO) == 1; }

void CatchInterrupts() {
  struct sigaction action {};
  action.sa_handler = NoteInterrupt;
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
}

bool Interrupted() { return interrupted != 0; }

}  // namespace afterscope
