// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

namespace afterscope {

// This program started again as a helper, with a two-way channel of messages and a block of memory that both
// see. The block's size is sealed, so that the helper can't shrink it under the reader. The helper ends when
// this object goes or this process ends. Thread-compatible: one thread at a time, but Send and Receive may be
// used by two.
class HelperProcess {
 public:
  // `word` is the helper's first argument. Fails with kUnreadable if it can't be started.
  static Result<std::unique_ptr<HelperProcess>> Start(const std::string& word, std::size_t shared_bytes);
  ~HelperProcess();
  HelperProcess(const HelperProcess&) = delete;
  HelperProcess& operator=(const HelperProcess&) = delete;

  // False once the helper has ended.
  bool Send(std::string_view message);
  // Waits up to `timeout_ms` for a message; empty: none came, or the helper ended (then ended() is true).
  std::optional<std::string> Receive(int timeout_ms);
  bool ended() const { return ended_; }
  // Ends the helper; what it wrote into the shared memory stays readable.
  void End();
  const std::uint8_t* shared() const { return shared_; }
  std::size_t shared_bytes() const { return shared_bytes_; }
  int pid() const { return pid_; }

 private:
  HelperProcess() = default;
  std::optional<std::string> Take();

  int pid_ = -1;
  int channel_ = -1;
  bool ended_ = false;
  const std::uint8_t* shared_ = nullptr;
  std::size_t shared_bytes_ = 0;
  std::string pending_;         // bytes received
  std::size_t pending_at_ = 0;  // of them already taken
};

// What a helper may use.
struct HelperLimits {
  std::int64_t memory_bytes = 0;  // address space; not set under sanitizers, which need more
  std::int64_t cpu_seconds = 0;
};

// The helper's side. Thread-safe for Send; Receive from one thread.
class HelperChannel {
 public:
  // Takes over what Start handed to this process; fails if it was not started by it.
  static Result<std::unique_ptr<HelperChannel>> Adopt();

  // Blocks; empty once the parent is gone.
  std::optional<std::string> Receive();
  // Ends this process at once if the parent is gone.
  void Send(std::string_view message);
  std::uint8_t* shared() const { return shared_; }
  std::size_t shared_bytes() const { return shared_bytes_; }

 private:
  HelperChannel() = default;
  std::uint8_t* shared_ = nullptr;
  std::size_t shared_bytes_ = 0;
  std::mutex sending_;
};

void LimitThisProcess(const HelperLimits& limits);
// Leaves the processors to others who want them.
void YieldToOthers();
[[noreturn]] void EndThisProcess(int status);

}  // namespace afterscope
