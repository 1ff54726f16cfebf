// SPDX-License-Identifier: Apache-2.0
// A slow disk for tests: loaded before the C library (LD_PRELOAD), it makes every call on files below
// $AFTERSCOPE_SLOW_FOLDER wait for $AFTERSCOPE_SLOW_MS, and counts those made on a process's first thread.
#include <atomic>
#include <cstdarg>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

namespace {

constexpr int kFiles = 4096;
std::atomic<bool> slow_file[kFiles];
std::atomic<int> calls_on_first_thread;

template <class Function>
Function Real(const char* name) {
  return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

bool LiesThere(const char* path) {
  const char* folder = std::getenv("AFTERSCOPE_SLOW_FOLDER");
  return folder != nullptr && path != nullptr && std::strncmp(path, folder, std::strlen(folder)) == 0;
}

void Wait() {
  if (syscall(SYS_gettid) == getpid()) ++calls_on_first_thread;
  const char* ms = std::getenv("AFTERSCOPE_SLOW_MS");
  const long length = ms != nullptr ? std::atol(ms) : 0;
  const timespec time{length / 1000, length % 1000 * 1'000'000};
  nanosleep(&time, nullptr);
}

int Opened(int file, const char* path) {
  if (file >= 0 && file < kFiles) slow_file[file] = LiesThere(path);
  return file;
}

bool IsSlow(int file) { return file >= 0 && file < kFiles && slow_file[file]; }

int OpenAs(const char* name, const char* path, int flags, mode_t mode) {
  if (LiesThere(path)) Wait();
  return Opened(Real<int (*)(const char*, int, mode_t)>(name)(path, flags, mode), path);
}

mode_t ModeOf(int flags, va_list rest) {
  return (flags & O_CREAT) != 0 ? static_cast<mode_t>(va_arg(rest, int)) : 0;
}

}  // namespace

extern "C" {

// How many such calls the first thread made; reset to 0.
int slow_disk_calls_on_first_thread() { return calls_on_first_thread.exchange(0); }

int open(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = ModeOf(flags, rest);
  va_end(rest);
  return OpenAs("open", path, flags, mode);
}

int open64(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = ModeOf(flags, rest);
  va_end(rest);
  return OpenAs("open64", path, flags, mode);
}

ssize_t read(int file, void* into, size_t size) {
  if (IsSlow(file)) Wait();
  return Real<ssize_t (*)(int, void*, size_t)>("read")(file, into, size);
}

int stat(const char* path, struct stat* into) {
  if (LiesThere(path)) Wait();
  return Real<int (*)(const char*, struct stat*)>("stat")(path, into);
}

int lstat(const char* path, struct stat* into) {
  if (LiesThere(path)) Wait();
  return Real<int (*)(const char*, struct stat*)>("lstat")(path, into);
}

DIR* opendir(const char* path) {
  if (LiesThere(path)) Wait();
  return Real<DIR* (*)(const char*)>("opendir")(path);
}

int close(int file) {
  if (file >= 0 && file < kFiles) slow_file[file] = false;
  return Real<int (*)(int)>("close")(file);
}

}  // extern "C"
