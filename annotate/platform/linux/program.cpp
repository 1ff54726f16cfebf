// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/program.hpp"

#include <filesystem>
#include <malloc.h>
#include <sys/prctl.h>
#include <sys/resource.h>

namespace afterscope {

std::string ProgramFolder() {
  std::error_code unknown;
  const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", unknown);
  return unknown ? std::string() : program.parent_path().string();
}

void KeepNoCrashDumps() {
  const rlimit none{0, 0};
  setrlimit(RLIMIT_CORE, &none);
  prctl(PR_SET_DUMPABLE, 0);  // where dumps go to a program, the limit does not count
}

void KeepFreedMemory() {
  mallopt(M_MMAP_THRESHOLD, 32 << 20);  // the most that it takes
  mallopt(M_TRIM_THRESHOLD, 256 << 20);
}

}  // namespace afterscope
