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
// not a regular file (a folder, a device, a pipe). Links are followed.
Result<RegularFile> LookAtRegularFile(const std::string& path);

}  // namespace afterscope
