// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <cstdint>
#include <string>

namespace afterscope {

// Main memory of this machine; 1 GiB if it does not tell.
std::int64_t MachineMemoryBytes();

// A file to be read: what identifies its present state.
struct RegularFile {
  std::string absolute_path;
  std::int64_t size = 0;
  std::int64_t modified_ns = 0;
};

// Looks at a file without ever waiting for it; fails with kUnreadable where it is absent, not readable, or
// not a regular file (a folder, a device, a pipe, a socket). Links and `..` are followed, and what they lead
// to has to be a regular file; the absolute path is free of both. A name is taken as it is: no pattern, no
// protocol ("concat:", "http:"), no option has a meaning in it.
Result<RegularFile> LookAtRegularFile(const std::string& path);

}  // namespace afterscope
