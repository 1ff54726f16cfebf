// SPDX-License-Identifier: Apache-2.0
// A broken disk for tests: loaded before the C library (LD_PRELOAD), it counts the calls by which the process
// changes what lies below a folder, and lets one of them go wrong, as broken_disk_arm says:
//   short  a write puts down half of its bytes and says so; later calls work (only writes are counted)
//   part   the same, and then there is no space for any more: each later write fails
//   full   fails: no space left; later calls work
//   dead   fails, and so do all later ones: input/output error
//   end    the program ends there; a write has put down half of its bytes
//   power  the same, and what was written since a file's last sync is taken back, names stay
//   names  the same, and names that changed since their folder's last sync are taken back too
// That it came so far, it notes by making a file. Changes by mmap pass: SQLite makes them only in its shared
// index, which it does not trust after a crash.
#include <algorithm>
#include <cerrno>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <dlfcn.h>
#include <fcntl.h>
#include <filesystem>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>
#include <utility>
#include <vector>

namespace {

template <class Function>
Function* Real(const char* name) {
  return reinterpret_cast<Function*>(dlsym(RTLD_NEXT, name));
}

// Reads and writes past this module.
std::string Content(const std::string& path) {
  std::string bytes;
  const int file = static_cast<int>(syscall(SYS_openat, AT_FDCWD, path.c_str(), O_RDONLY, 0));
  char block[65536];
  for (long n = 0; file >= 0 && (n = syscall(SYS_read, file, block, sizeof block)) > 0;)
    bytes.append(block, static_cast<std::size_t>(n));
  syscall(SYS_close, file);
  return bytes;
}
void Put(const std::string& path, const std::string& bytes) {
  const int file =
      static_cast<int>(syscall(SYS_openat, AT_FDCWD, path.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600));
  for (std::size_t at = 0; at < bytes.size();) {
    const long n = syscall(SYS_write, file, bytes.data() + at, bytes.size() - at);
    if (n <= 0) break;
    at += static_cast<std::size_t>(n);
  }
  syscall(SYS_close, file);
}

struct NameChange {
  std::string folder;
  std::function<void()> take_back;
};

class Disk {
 public:
  static Disk& The() {
    static Disk* const disk = new Disk;  // never destroyed: files are closed to the very end
    return *disk;
  }

  void Arm(const char* folder, const char* how, int at, const char* note) {
    folder_ = folder;
    how_ = how;
    at_ = at;
    note_ = note;
  }
  bool Watches(const std::string& path) const {
    return !folder_.empty() && path.starts_with(folder_) && path.size() > folder_.size() &&
           path[folder_.size()] == '/';
  }
  // Whether the call fails; errno is then set. Does not return where the program ends. `half` is done before.
  bool Fails(const std::function<void()>& half = {}) { return Fate(half) == Outcome::kFails; }

  enum class Outcome { kWorks, kHalf, kFails };
  // half: of a write of two bytes or more, puts down the first half.
  Outcome Fate(const std::function<void()>& half) {
    const bool by_halves = how_ == "short" || how_ == "part";
    if (by_halves && !half) return Outcome::kWorks;
    const int number = ++calls_;
    if (at_ == 0 && !note_.empty()) Put(note_, std::to_string(number));
    const bool for_good = how_ == "dead" || how_ == "part";
    if (at_ == 0 || number < at_ || (number > at_ && !for_good)) return Outcome::kWorks;
    Put(note_, "");
    if (by_halves && number == at_) return Outcome::kHalf;
    if (how_ == "full" || how_ == "dead" || how_ == "part") {
      errno = how_ == "dead" ? EIO : ENOSPC;
      return Outcome::kFails;
    }
    if (half) half();
    if (how_ != "end") LosePower();
    _exit(137);
  }

  void Opened(int file, const char* path, bool made) {
    open_[file] = std::filesystem::absolute(path).string();
    if (!made) return;
    unsynced_.try_emplace(open_[file]);
    Renamed(open_[file], [path = open_[file]] { syscall(SYS_unlink, path.c_str()); });
  }
  // The watched file or folder behind a descriptor; null: another one.
  const std::string* At(int file) const {
    const auto found = open_.find(file);
    return found == open_.end() ? nullptr : &found->second;
  }
  void BeforeWrite(const std::string& path) {
    if (!unsynced_.contains(path)) unsynced_[path] = Content(path);
  }
  void Synced(const std::string& path) {
    unsynced_.erase(path);
    std::erase_if(names_, [&](const NameChange& change) { return change.folder == path; });
  }
  void Closed(int file) { open_.erase(file); }

  void Renamed(const std::string& path, std::function<void()> take_back) {
    names_.push_back({std::filesystem::path(path).parent_path().string(), std::move(take_back)});
  }
  void Moved(const std::string& from, const std::string& to, std::optional<std::string> held) {
    if (auto node = unsynced_.extract(from)) {
      unsynced_.erase(to);
      node.key() = to;
      unsynced_.insert(std::move(node));
    }
    for (auto& [file, path] : open_)
      if (path == from) path = to;
    Renamed(to, [from, to, held] {
      syscall(SYS_rename, to.c_str(), from.c_str());
      if (held) Put(to, *held);
    });
  }
  void Removed(const std::string& path, std::string held) {
    unsynced_.erase(path);
    Renamed(path, [path, held = std::move(held)] { Put(path, held); });
  }

  std::recursive_mutex mutex;

 private:
  void LosePower() {
    for (const auto& [path, durable] : unsynced_)
      if (syscall(SYS_access, path.c_str(), F_OK) == 0) Put(path, durable);
    if (how_ == "names")
      for (auto change = names_.rbegin(); change != names_.rend(); ++change) change->take_back();
  }

  std::string folder_;  // empty: not armed, the disk is whole
  std::string how_;
  std::string note_;
  int at_ = 0;
  int calls_ = 0;
  std::map<int, std::string> open_;
  std::map<std::string, std::string> unsynced_;  // what was there at the last sync
  std::vector<NameChange> names_;                // since their folders' last sync
};

using Guard = std::lock_guard<std::recursive_mutex>;

std::string Absolute(const char* path) { return std::filesystem::absolute(path).string(); }

int OpenAs(const char* name, const char* path, int flags, mode_t mode) {
  const auto open_it = [&] { return Real<int(const char*, int, ...)>(name)(path, flags, mode); };
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  if (path == nullptr || !disk.Watches(Absolute(path))) return open_it();
  const bool writes = (flags & O_ACCMODE) != O_RDONLY;
  if (writes && disk.Fails()) return -1;
  const bool made = (flags & O_CREAT) != 0 && syscall(SYS_access, path, F_OK) != 0;
  if ((flags & O_TRUNC) != 0 && !made) disk.BeforeWrite(Absolute(path));
  const int file = open_it();
  if (file >= 0 && (writes || (flags & O_DIRECTORY) != 0)) disk.Opened(file, path, made);
  return file;
}

// `write` puts down so many bytes of what the call was asked to.
template <class Count, class Write>
Count WriteAs(int file, std::size_t bytes, Write write) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  if (const std::string* path = disk.At(file)) {
    disk.BeforeWrite(*path);
    const auto half = [&] { return write(bytes / 2); };
    const auto fate = disk.Fate(bytes >= 2 ? std::function<void()>(half) : std::function<void()>());
    if (fate == Disk::Outcome::kFails) return -1;
    if (fate == Disk::Outcome::kHalf) return half();
  }
  return write(bytes);
}

template <class Call>
int ChangeFile(int file, bool syncs, Call call) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  const std::string* path = disk.At(file);
  if (path == nullptr) return call();
  if (!syncs) disk.BeforeWrite(*path);
  if (disk.Fails()) return -1;
  const int result = call();
  if (syncs && result == 0) disk.Synced(*path);
  return result;
}

template <class Call>
int RemoveAs(const char* path, Call call) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  if (!disk.Watches(Absolute(path))) return call();
  if (disk.Fails()) return -1;
  struct stat there {};
  const bool is_file = lstat(path, &there) == 0 && S_ISREG(there.st_mode);
  std::string held = is_file ? Content(path) : std::string();
  const int result = call();
  if (result == 0 && is_file) disk.Removed(Absolute(path), std::move(held));
  return result;
}

mode_t ModeOf(int flags, va_list rest) {
  return (flags & O_CREAT) != 0 ? static_cast<mode_t>(va_arg(rest, int)) : 0;
}

}  // namespace

extern "C" {

// From now on, call number `at` (from 1) below `folder` (absolute) goes wrong; then the file `note` is made.
// 0: none does, and `note` says how many there were.
void broken_disk_arm(const char* folder, const char* how, int at, const char* note) {
  Disk::The().Arm(folder, how, at, note);
}

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
ssize_t write(int file, const void* bytes, size_t count) {
  return WriteAs<ssize_t>(file, count, [&](std::size_t n) {
    return Real<ssize_t(int, const void*, size_t)>("write")(file, bytes, n);
  });
}
ssize_t writev(int file, const iovec* pieces, int count) {
  return WriteAs<ssize_t>(file, 0, [&](std::size_t) {
    return Real<ssize_t(int, const iovec*, int)>("writev")(file, pieces, count);
  });
}
ssize_t pwrite(int file, const void* bytes, size_t count, off_t at) {
  return WriteAs<ssize_t>(file, count, [&](std::size_t n) {
    return Real<ssize_t(int, const void*, size_t, off_t)>("pwrite")(file, bytes, n, at);
  });
}
ssize_t pwrite64(int file, const void* bytes, size_t count, off64_t at) {
  return WriteAs<ssize_t>(file, count, [&](std::size_t n) {
    return Real<ssize_t(int, const void*, size_t, off64_t)>("pwrite64")(file, bytes, n, at);
  });
}
int fsync(int file) {
  return ChangeFile(file, true, [&] { return Real<int(int)>("fsync")(file); });
}
int fdatasync(int file) {
  return ChangeFile(file, true, [&] { return Real<int(int)>("fdatasync")(file); });
}
int ftruncate(int file, off_t size) {
  return ChangeFile(file, false, [&] { return Real<int(int, off_t)>("ftruncate")(file, size); });
}
int ftruncate64(int file, off64_t size) {
  return ChangeFile(file, false, [&] { return Real<int(int, off64_t)>("ftruncate64")(file, size); });
}
int close(int file) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  const bool fails = disk.At(file) != nullptr && disk.Fails();
  const int number = errno;
  disk.Closed(file);
  const int result = Real<int(int)>("close")(file);
  if (!fails) return result;
  errno = number;
  return -1;
}
int rename(const char* from, const char* to) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  const auto call = [&] { return Real<int(const char*, const char*)>("rename")(from, to); };
  if (!disk.Watches(Absolute(to))) return call();
  if (disk.Fails()) return -1;
  std::optional<std::string> held;
  if (syscall(SYS_access, to, F_OK) == 0) held = Content(to);
  const int result = call();
  if (result == 0) disk.Moved(Absolute(from), Absolute(to), std::move(held));
  return result;
}
int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) noexcept {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  const auto call = [&] {
    return Real<int(int, const char*, int, const char*, unsigned)>("renameat2")(from_folder, from, to_folder,
                                                                                to, flags);
  };
  if (!disk.Watches(Absolute(to))) return call();
  if (disk.Fails()) return -1;
  const int result = call();  // used only where nothing is at `to`
  if (result == 0) disk.Moved(Absolute(from), Absolute(to), std::nullopt);
  return result;
}
int link(const char* from, const char* to) noexcept {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  const auto call = [&] { return Real<int(const char*, const char*)>("link")(from, to); };
  if (!disk.Watches(Absolute(to))) return call();
  if (disk.Fails()) return -1;
  const int result = call();
  if (result == 0) disk.Renamed(Absolute(to), [path = Absolute(to)] { syscall(SYS_unlink, path.c_str()); });
  return result;
}
int unlink(const char* path) {
  return RemoveAs(path, [&] { return Real<int(const char*)>("unlink")(path); });
}
int remove(const char* path) {
  return RemoveAs(path, [&] { return Real<int(const char*)>("remove")(path); });
}
int rmdir(const char* path) {
  return RemoveAs(path, [&] { return Real<int(const char*)>("rmdir")(path); });
}
int mkdir(const char* path, mode_t mode) {
  Disk& disk = Disk::The();
  const Guard guard(disk.mutex);
  if (disk.Watches(Absolute(path)) && disk.Fails()) return -1;
  return Real<int(const char*, mode_t)>("mkdir")(path, mode);
}

}  // extern "C"
