// SPDX-License-Identifier: Apache-2.0
// The entry that libFuzzer calls; which target, AFTERSCOPE_FUZZ_TARGET says.
#include "tests/fuzz/targets.hpp"
#include "tests/fuzz/window_targets.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace {

const afterscope::FuzzTarget* Target() {
  const char* name = std::getenv("AFTERSCOPE_FUZZ_TARGET");
  for (const auto targets : {afterscope::FuzzTargets(), afterscope::WindowFuzzTargets()})
    for (const afterscope::FuzzTarget& target : targets)
      if (name != nullptr && std::string_view(target.name) == name) return &target;
  std::fputs("AFTERSCOPE_FUZZ_TARGET names no target.\n", stderr);
  std::exit(2);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  static const afterscope::FuzzTarget* const target = Target();
  target->run({reinterpret_cast<const char*>(bytes), size});
  return 0;
}
