// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/helper_process.hpp"

#include "annotate/platform/linux/file_descriptor.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

extern "C" [[gnu::weak]] int __llvm_profile_write_file();  // of a build that counts which lines are reached

// Sanitizers map terabytes, which a limit on the address space forbids.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define AFTERSCOPE_MAPS_MUCH
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define AFTERSCOPE_MAPS_MUCH
#endif
#endif

namespace afterscope {
namespace {

constexpr int kChannelFd = 3;
constexpr int kSharedFd = 4;
constexpr std::size_t kMostMessageBytes = std::size_t{64} << 20;
constexpr std::size_t kReadBytes = std::size_t{64} << 10;

bool SendAll(int fd, const char* bytes, std::size_t count) {
  while (count > 0) {
    const ssize_t sent = send(fd, bytes, count, MSG_NOSIGNAL);
    if (sent < 0 && errno == EINTR) continue;
    if (sent <= 0) return false;
    bytes += sent;
    count -= static_cast<std::size_t>(sent);
  }
  return true;
}

bool SendFramed(int fd, std::string_view message) {
  const auto length = static_cast<std::uint32_t>(message.size());
  std::string framed(sizeof length, '\0');
  std::memcpy(framed.data(), &length, sizeof length);
  framed += message;
  return SendAll(fd, framed.data(), framed.size());
}

bool ReceiveAll(int fd, char* bytes, std::size_t count) {
  while (count > 0) {
    const ssize_t got = recv(fd, bytes, count, 0);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return false;
    bytes += got;
    count -= static_cast<std::size_t>(got);
  }
  return true;
}

Error CannotStart(const char* what) {
  return {ErrorCode::kUnreadable,
          fmt::format("The decoding helper can't be started: {}: {}.", what, std::strerror(errno))};
}

// Starts this program again with the two descriptors in their places; returns the process id or -1 with errno
// set.
int SpawnSelf(const std::string& word, int channel, int shared) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, 2, 1);
  posix_spawn_file_actions_adddup2(&actions, channel, kChannelFd);
  posix_spawn_file_actions_adddup2(&actions, shared, kSharedFd);
  // A process group of its own: Ctrl-C is for the parent, which ends the helper in its own time.
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  posix_spawnattr_setpgroup(&attributes, 0);
  std::string program = "afterscope";
  std::string argument = word;
  std::array<char*, 3> argv{program.data(), argument.data(), nullptr};
  pid_t pid = -1;
  const int problem = posix_spawn(&pid, "/proc/self/exe", &actions, &attributes, argv.data(), environ);
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  errno = problem;
  return problem == 0 ? pid : -1;
}

// Above the numbers that the helper gets, so that putting them in place can't overwrite one of them.
FileDescriptor Raised(FileDescriptor fd) { return FileDescriptor(fcntl(fd.get(), F_DUPFD_CLOEXEC, 10)); }

}  // namespace

Result<std::unique_ptr<HelperProcess>> HelperProcess::Start(const std::string& word,
                                                            std::size_t shared_bytes) {
  std::array<int, 2> pair{};
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair.data()) != 0) return CannotStart("channel");
  FileDescriptor ours(pair[0]);
  const FileDescriptor theirs = Raised(FileDescriptor(pair[1]));
  const FileDescriptor memory =
      Raised(FileDescriptor(memfd_create("pictures", MFD_CLOEXEC | MFD_ALLOW_SEALING)));
  if (!theirs.valid() || !memory.valid() || ftruncate(memory.get(), static_cast<off_t>(shared_bytes)) != 0 ||
      fcntl(memory.get(), F_ADD_SEALS, F_SEAL_SHRINK | F_SEAL_GROW | F_SEAL_SEAL) != 0)
    return CannotStart("shared memory");
  void* mapped = mmap(nullptr, shared_bytes, PROT_READ, MAP_SHARED, memory.get(), 0);
  if (mapped == MAP_FAILED) return CannotStart("shared memory");

  std::unique_ptr<HelperProcess> helper(new HelperProcess);
  helper->shared_ = static_cast<const std::uint8_t*>(mapped);
  helper->shared_bytes_ = shared_bytes;
  helper->pid_ = SpawnSelf(word, theirs.get(), memory.get());
  if (helper->pid_ < 0) return CannotStart("process");
  helper->channel_ = ours.release();
  return helper;
}

void HelperProcess::End() {
  if (pid_ <= 0) return;
  kill(pid_, SIGKILL);
  while (waitpid(pid_, nullptr, 0) < 0 && errno == EINTR) {
  }
  pid_ = -1;
}

HelperProcess::~HelperProcess() {
  End();
  if (channel_ >= 0) close(channel_);
  if (shared_ != nullptr) munmap(const_cast<std::uint8_t*>(shared_), shared_bytes_);
}

bool HelperProcess::Send(std::string_view message) { return SendFramed(channel_, message); }

std::optional<std::string> HelperProcess::Take() {
  std::uint32_t length = 0;
  const std::size_t have = pending_.size() - pending_at_;
  if (have < sizeof length) return std::nullopt;
  std::memcpy(&length, pending_.data() + pending_at_, sizeof length);
  if (length > kMostMessageBytes) ended_ = true;  // it talks nonsense
  if (ended_ || have < sizeof length + length) return std::nullopt;
  std::string message = pending_.substr(pending_at_ + sizeof length, length);
  pending_at_ += sizeof length + length;
  if (pending_at_ == pending_.size()) {
    pending_.clear();
    pending_at_ = 0;
  }
  return message;
}

std::optional<std::string> HelperProcess::Receive(int timeout_ms) {
  while (!ended_) {
    if (auto message = Take()) return message;
    if (ended_) break;
    pollfd waiting{channel_, POLLIN, 0};
    const int ready = poll(&waiting, 1, timeout_ms);
    if (ready < 0 && errno == EINTR) continue;
    if (ready == 0) return std::nullopt;
    pending_.erase(0, pending_at_);
    pending_at_ = 0;
    const std::size_t before = pending_.size();
    pending_.resize(before + kReadBytes);
    const ssize_t got = recv(channel_, pending_.data() + before, kReadBytes, 0);
    pending_.resize(before + static_cast<std::size_t>(std::max<ssize_t>(got, 0)));
    if (got == 0 || (got < 0 && errno != EINTR)) ended_ = true;
  }
  return std::nullopt;
}

Result<std::unique_ptr<HelperChannel>> HelperChannel::Adopt() {
  struct stat memory {};
  struct stat channel {};
  if (fstat(kChannelFd, &channel) != 0 || !S_ISSOCK(channel.st_mode) || fstat(kSharedFd, &memory) != 0)
    return Error{ErrorCode::kBadCall, "This is for the program's own use."};
  close_range(kSharedFd + 1, ~0U, 0);
  std::unique_ptr<HelperChannel> helper(new HelperChannel);
  helper->shared_bytes_ = static_cast<std::size_t>(memory.st_size);
  void* mapped = mmap(nullptr, helper->shared_bytes_, PROT_READ | PROT_WRITE, MAP_SHARED, kSharedFd, 0);
  if (mapped == MAP_FAILED) return Error{ErrorCode::kUnreadable, "No shared memory."};
  helper->shared_ = static_cast<std::uint8_t*>(mapped);
  return helper;
}

std::optional<std::string> HelperChannel::Receive() {
  std::uint32_t length = 0;
  if (!ReceiveAll(kChannelFd, reinterpret_cast<char*>(&length), sizeof length)) return std::nullopt;
  std::string message(length, '\0');
  if (!ReceiveAll(kChannelFd, message.data(), length)) return std::nullopt;
  return message;
}

void HelperChannel::Send(std::string_view message) {
  const std::lock_guard lock(sending_);
  if (!SendFramed(kChannelFd, message)) EndThisProcess(0);
}

void LimitThisProcess(const HelperLimits& limits) {
  const rlimit no_core{0, 0};
  setrlimit(RLIMIT_CORE, &no_core);
  if (limits.cpu_seconds > 0) {
    const rlimit cpu{static_cast<rlim_t>(limits.cpu_seconds), static_cast<rlim_t>(limits.cpu_seconds) + 5};
    setrlimit(RLIMIT_CPU, &cpu);
  }
#ifndef AFTERSCOPE_MAPS_MUCH
  if (limits.memory_bytes > 0) {
    const rlimit memory{static_cast<rlim_t>(limits.memory_bytes), static_cast<rlim_t>(limits.memory_bytes)};
    setrlimit(RLIMIT_AS, &memory);
  }
#endif
}

void YieldToOthers() { setpriority(PRIO_PROCESS, 0, 10); }

void EndThisProcess(int status) {
  if (__llvm_profile_write_file != nullptr) __llvm_profile_write_file();
  _exit(status);
}

}  // namespace afterscope
