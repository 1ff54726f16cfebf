// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <dirent.h>
#include <fcntl.h>
#include <mutex>
#include <sys/file.h>
#include <sys/stat.h>
#include <system_error>
#include <thread>
#include <unistd.h>
#include <utility>

namespace afterscope {
namespace {

constexpr mode_t kFileMode = 0600;
constexpr mode_t kFolderMode = 0700;
constexpr int kMostTries = 100;
constexpr std::chrono::milliseconds kBetweenTries{20};

Error Failed(ErrorCode code, const char* what, const std::string& path, int number) {
  return {code, fmt::format("Can't {} '{}': {}.", what, path, std::generic_category().message(number))};
}
Error CantWrite(const char* what, const std::string& path, int number) {
  return Failed(ErrorCode::kUnwritable, what, path, number);
}
Error CantRead(const char* what, const std::string& path, int number) {
  return Failed(ErrorCode::kUnreadable, what, path, number);
}

template <class Call>
auto Retried(Call call) {
  auto result = call();
  while (result == -1 && errno == EINTR) result = call();
  return result;
}

int OpenDescriptor(const std::string& path, int flags) {
  return Retried([&] { return ::open(path.c_str(), flags | O_CLOEXEC | O_NOCTTY, kFileMode); });
}

class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  Descriptor(Descriptor&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
  Descriptor& operator=(Descriptor&&) = delete;
  ~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }
  bool valid() const { return fd_ >= 0; }
  int Release() { return std::exchange(fd_, -1); }

 private:
  int fd_;
};

// Whether the name still leads to what is open: another program may have removed it before it was locked.
bool IsStillNamed(int fd, const std::string& path) {
  struct stat open {
  }, named{};
  return ::fstat(fd, &open) == 0 && ::lstat(path.c_str(), &named) == 0 && open.st_dev == named.st_dev &&
         open.st_ino == named.st_ino;
}

class RealWritableFile final : public WritableFile {
 public:
  RealWritableFile(Descriptor file, std::string path, std::int64_t end)
      : file_(std::move(file)), path_(std::move(path)), end_(end) {}

  Status Append(std::string_view bytes) override { return WriteAt(end_, bytes); }

  Status WriteAt(std::int64_t position, std::string_view bytes) override {
    if (position < 0 || position > end_)
      return Error{ErrorCode::kUnwritable, fmt::format("Can't write '{}' beyond its end.", path_)};
    while (!bytes.empty()) {
      const ssize_t written = Retried(
          [&] { return ::pwrite(file_.get(), bytes.data(), bytes.size(), static_cast<off_t>(position)); });
      if (written < 0) return CantWrite("write", path_, errno);
      if (written == 0) return CantWrite("write", path_, ENOSPC);
      position += written;
      end_ = std::max(end_, position);
      bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
  }

  // A failed fsync must not be tried again: the kernel may have dropped the pages, and a second call would
  // then succeed without them.
  Status Sync() override {
    if (sync_failed_) return CantWrite("sync", path_, EIO);
    struct stat status {};
    if (::fsync(file_.get()) == 0 && ::fstat(file_.get(), &status) == 0) {
      // What was removed meanwhile still takes bytes, and nobody will ever read them.
      if (status.st_nlink == 0) return CantWrite("keep what is written to", path_, ENOENT);
      return {};
    }
    const int number = errno;
    sync_failed_ = true;
    return CantWrite("sync", path_, number);
  }

  Status Close() override {
    // The descriptor is gone even where close says EINTR.
    if (::close(file_.Release()) == 0 || errno == EINTR) return {};
    return CantWrite("close", path_, errno);
  }

 private:
  Descriptor file_;
  std::string path_;
  std::int64_t end_;
  bool sync_failed_ = false;
};

class RealFileLock final : public FileLock {
 public:
  explicit RealFileLock(Descriptor file) : file_(std::move(file)) {}

 private:
  Descriptor file_;
};

FileInfo InfoOf(const struct stat& status) {
  FileInfo info;
  info.type = S_ISREG(status.st_mode)   ? FileType::kRegular
              : S_ISDIR(status.st_mode) ? FileType::kDirectory
                                        : FileType::kOther;
  info.size = status.st_size;
  info.modified_ns = status.st_mtim.tv_sec * 1'000'000'000LL + status.st_mtim.tv_nsec;
  return info;
}

class RealFiles final : public FileSystem {
 public:
  Result<FileInfo> Stat(const std::string& path) override {
    struct stat status {};
    if (::stat(path.c_str(), &status) == 0) return InfoOf(status);
    if (errno == ENOENT || errno == ENOTDIR) return FileInfo{};
    return CantRead("look at", path, errno);
  }

  Result<std::string> ReadAll(const std::string& path, std::int64_t most_bytes) override {
    // Not blocking, so that a pipe under this name can't hang the program.
    const Descriptor file(OpenDescriptor(path, O_RDONLY | O_NONBLOCK));
    if (!file.valid()) return CantRead("read", path, errno);
    struct stat status {};
    if (::fstat(file.get(), &status) != 0) return CantRead("read", path, errno);
    if (!S_ISREG(status.st_mode))
      return Error{ErrorCode::kUnreadable, fmt::format("'{}' is not a file.", path)};
    std::string bytes;
    char block[65536];
    for (;;) {
      const ssize_t count = Retried([&] { return ::read(file.get(), block, sizeof block); });
      if (count < 0) return CantRead("read", path, errno);
      if (count == 0) return bytes;
      bytes.append(block, static_cast<std::size_t>(count));
      if (static_cast<std::int64_t>(bytes.size()) > most_bytes)
        return Error{
            ErrorCode::kUnreadable,
            fmt::format("'{}' is larger than the {} bytes that such a file may have.", path, most_bytes)};
    }
  }

  Result<std::vector<std::string>> List(const std::string& folder) override {
    DIR* listing = ::opendir(folder.c_str());
    if (!listing) return CantRead("list", folder, errno);
    std::vector<std::string> names;
    errno = 0;
    while (const dirent* entry = ::readdir(listing)) {
      const std::string name = entry->d_name;
      if (name != "." && name != "..") names.push_back(name);
    }
    const int number = errno;
    ::closedir(listing);
    if (number != 0) return CantRead("list", folder, number);
    std::sort(names.begin(), names.end());
    return names;
  }

  // Locked, so that what a program leaves that ended can be told from what is being written
  // (pending_file.hpp). A program that tidies up may have it first, before it is locked: it removes it then,
  // and it is made again. Some file systems have no locks.
  Result<std::unique_ptr<WritableFile>> Create(const std::string& path) override {
    for (;;) {
      Descriptor file(OpenDescriptor(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW));
      if (!file.valid() || ::fchmod(file.get(), kFileMode) != 0) return CantWrite("create", path, errno);
      const bool locked = Retried([&] { return ::flock(file.get(), LOCK_EX); }) == 0;
      if (locked && ::access(path.c_str(), F_OK) != 0 && errno == ENOENT) continue;
      return std::unique_ptr<WritableFile>(std::make_unique<RealWritableFile>(std::move(file), path, 0));
    }
  }

  Result<std::unique_ptr<WritableFile>> OpenAppend(const std::string& path) override {
    Descriptor file(OpenDescriptor(path, O_WRONLY | O_CREAT | O_NONBLOCK | O_NOFOLLOW));
    struct stat status {};
    if (!file.valid() || ::fstat(file.get(), &status) != 0) return CantWrite("open", path, errno);
    if (!S_ISREG(status.st_mode)) return CantWrite("open", path, EINVAL);
    return std::unique_ptr<WritableFile>(
        std::make_unique<RealWritableFile>(std::move(file), path, status.st_size));
  }

  Status Truncate(const std::string& path, std::int64_t size) override {
    const Descriptor file(OpenDescriptor(path, O_WRONLY | O_NONBLOCK));
    if (!file.valid() || Retried([&] { return ::ftruncate(file.get(), static_cast<off_t>(size)); }) != 0 ||
        ::fsync(file.get()) != 0)
      return CantWrite("shorten", path, errno);
    return {};
  }

  Status Rename(const std::string& from, const std::string& to) override {
    if (std::rename(from.c_str(), to.c_str()) != 0) return CantWrite("replace", to, errno);
    return {};
  }

  Status RenameIfFree(const std::string& from, const std::string& to) override {
    if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return {};
    // Not every file system can do that; then the file has both names for a moment.
    if (errno != EINVAL && errno != ENOSYS) return CantWrite("make", to, errno);
    if (::link(from.c_str(), to.c_str()) == 0) {
      static_cast<void>(::unlink(from.c_str()));
      return {};
    }
    // A memory card may know neither way: there, what comes at the very last moment is lost.
    if (errno != EPERM && errno != EOPNOTSUPP) return CantWrite("make", to, errno);
    if (::access(to.c_str(), F_OK) == 0) return CantWrite("make", to, EEXIST);
    return Rename(from, to);
  }

  Status Remove(const std::string& path) override {
    if (std::remove(path.c_str()) != 0) return CantWrite("remove", path, errno);
    return {};
  }

  Status MakeFolder(const std::string& path) override {
    if (::mkdir(path.c_str(), kFolderMode) == 0) return {};
    const int number = errno;
    struct stat status {};
    if (number == EEXIST && ::stat(path.c_str(), &status) == 0 && S_ISDIR(status.st_mode)) return {};
    return CantWrite("make the folder", path, number);
  }

  Status SyncFolder(const std::string& path) override {
    const Descriptor folder(OpenDescriptor(path, O_RDONLY | O_DIRECTORY));
    if (!folder.valid()) return CantWrite("sync the folder", path, errno);
    // Some file systems have nothing to sync for a folder and say so.
    if (::fsync(folder.get()) == 0 || errno == EINVAL) return {};
    return CantWrite("sync the folder", path, errno);
  }

  Result<std::unique_ptr<FileLock>> Lock(const std::string& path, std::chrono::milliseconds wait) override {
    return LockOpened(path, O_RDWR | O_CREAT | O_NONBLOCK | O_NOFOLLOW, wait);
  }

  Result<std::unique_ptr<FileLock>> LockExisting(const std::string& path) override {
    struct stat status {};
    if (::lstat(path.c_str(), &status) != 0) return CantWrite("lock", path, errno);
    return LockOpened(
        path, (S_ISDIR(status.st_mode) ? O_RDONLY | O_DIRECTORY : O_RDWR) | O_NONBLOCK | O_NOFOLLOW, {});
  }

 private:
  static Result<std::unique_ptr<FileLock>> LockOpened(const std::string& path, int flags,
                                                      std::chrono::milliseconds wait) {
    const auto end = std::chrono::steady_clock::now() + wait;
    for (int tried = 0; tried < kMostTries;) {
      Descriptor file(OpenDescriptor(path, flags));
      if (!file.valid()) return CantWrite("lock", path, errno);
      if (Retried([&] { return ::flock(file.get(), LOCK_EX | LOCK_NB); }) == 0) {
        if (IsStillNamed(file.get(), path))
          return std::unique_ptr<FileLock>(std::make_unique<RealFileLock>(std::move(file)));
        ++tried;
        continue;
      }
      if (errno != EWOULDBLOCK) return CantWrite("lock", path, errno);
      if (std::chrono::steady_clock::now() >= end)
        return Error{ErrorCode::kUnwritable,
                     fmt::format("another program has '{}' open; close the case there first.", path)};
      std::this_thread::sleep_for(kBetweenTries);
    }
    return CantWrite("lock", path, EAGAIN);
  }
};

}  // namespace

FileSystem& RealFileSystem() {
  static RealFiles files;
  // Writing past a file size limit is to be an error that is told, not the end of the program.
  static const auto ignored = std::signal(SIGXFSZ, SIG_IGN);
  static_cast<void>(ignored);
  return files;
}

}  // namespace afterscope
