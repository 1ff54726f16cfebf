// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/machine.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <memory>
#include <sys/stat.h>
#include <unistd.h>

namespace afterscope {

std::int64_t MachineMemoryBytes() {
  const long pages = sysconf(_SC_PHYS_PAGES);
  const long page = sysconf(_SC_PAGESIZE);
  return pages > 0 && page > 0 ? std::int64_t{pages} * page : std::int64_t{1} << 30;
}

Result<RegularFile> LookAtRegularFile(const std::string& path) {
  const auto failed = [&path](const char* why) {
    return Error{ErrorCode::kUnreadable, fmt::format("'{}' can't be opened: {}.", path, why)};
  };
  if (path.empty() || path.find('\0') != std::string::npos) return failed("this is no file name");
  const int fd = open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
  if (fd < 0) return failed(std::strerror(errno));
  struct stat status {};
  const bool known = fstat(fd, &status) == 0;
  close(fd);
  if (!known || !S_ISREG(status.st_mode)) return failed("it is not a regular file");
  const std::unique_ptr<char, decltype(&std::free)> absolute(realpath(path.c_str(), nullptr), &std::free);
  if (!absolute) return failed(std::strerror(errno));
  return RegularFile{absolute.get(), status.st_size,
                     std::int64_t{status.st_mtim.tv_sec} * 1'000'000'000 + status.st_mtim.tv_nsec};
}

}  // namespace afterscope
