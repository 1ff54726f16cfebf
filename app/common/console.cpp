// SPDX-License-Identifier: Apache-2.0
#include "app/common/console.hpp"

#include "annotate/platform/terminal.hpp"
#include "annotate/report/safe_text.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <memory>

namespace afterscope {
namespace {

using Clock = std::chrono::steady_clock;

// Wipes its line when the command is done with it.
class ProgressLine {
 public:
  explicit ProgressLine(const std::string& what) : what_(SafeLine(what)) {}
  ~ProgressLine() {
    if (shown_ >= 0) fmt::print(stderr, "\r{:{}}\r", "", what_.size() + 8);
  }
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  void Show(double share) {
    const int percent = static_cast<int>(share * 100);
    if (percent == shown_ || Clock::now() - start_ < std::chrono::seconds(1)) return;
    shown_ = percent;
    fmt::print(stderr, "\r{} {:3d} %", what_, percent);
    std::fflush(stderr);
  }

 private:
  std::string what_;
  Clock::time_point start_ = Clock::now();
  int shown_ = -1;
};

}  // namespace

Progress ConsoleProgress(const std::string& what) {
  if (!StandardErrorIsTerminal()) return {};
  return [line = std::make_shared<ProgressLine>(what)](double share) { line->Show(share); };
}

StopQuery ConsoleStop() {
  CatchInterrupts();
  return [] { return Interrupted(); };
}

std::string Today() { return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::time(nullptr))); }

std::string SafeLine(std::string_view text) {
  std::string line = SafeText(text);
  std::replace(line.begin(), line.end(), '\n', ' ');
  return line;
}

int Failed(const Error& error) {
  Say(stderr, "{}\n", error.message);
  return static_cast<int>(error.code);
}

}  // namespace afterscope
