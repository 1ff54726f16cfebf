// SPDX-License-Identifier: Apache-2.0
#include "tests/support/run_program.hpp"

#include <array>
#include <cstdio>
#include <sys/wait.h>

namespace afterscope {

std::string OutputOf(const std::string& command, int* status) {
  std::string out;
  FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return out;
  std::array<char, 4096> piece{};
  std::size_t count = 0;
  while ((count = std::fread(piece.data(), 1, piece.size(), pipe)) > 0) out.append(piece.data(), count);
  const int ended = pclose(pipe);
  if (status) *status = WIFEXITED(ended) ? WEXITSTATUS(ended) : -1;
  return out;
}

}  // namespace afterscope
