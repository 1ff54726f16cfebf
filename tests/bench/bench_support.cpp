// SPDX-License-Identifier: Apache-2.0
#include "tests/bench/bench_support.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>

namespace afterscope {
namespace {

double PssMiB(const std::string& pid) {
  std::ifstream rollup("/proc/" + pid + "/smaps_rollup");
  for (std::string word; rollup >> word;)
    if (double kib = 0; word == "Pss:" && rollup >> kib) return kib / 1024;
  return 0;
}

}  // namespace

double Since(BenchClock::time_point start) {
  return std::chrono::duration<double>(BenchClock::now() - start).count();
}

void PrintValue(const std::string& name, double value) { fmt::print("{} {:.4f}\n", name, value); }

double ValueAt(std::vector<double> values, double share) {
  if (values.empty()) Die("Nothing was measured.");
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

void PrintSpread(const std::string& name, const std::vector<double>& values) {
  PrintValue(name + "_median", ValueAt(values, 0.5));
  PrintValue(name + "_95", ValueAt(values, 0.95));
  PrintValue(name + "_most", ValueAt(values, 1));
}

void Die(const std::string& why) {
  fmt::print(stderr, "{}\n", why);
  std::exit(3);
}

double FamilyPssMiB() {
  double total = PssMiB("self");
  for (const auto& task : std::filesystem::directory_iterator("/proc/self/task")) {
    std::ifstream children(task.path() / "children");
    for (std::string pid; children >> pid;) total += PssMiB(pid);
  }
  return total;
}

std::vector<Pts> RandomFrames(const FrameTable& table, int count) {
  std::mt19937 random(1);
  std::uniform_int_distribution<std::int64_t> any(0, table.size() - 1);
  std::vector<Pts> frames;
  for (int i = 0; i < count; ++i) frames.push_back(table[{any(random)}].pts);
  return frames;
}

}  // namespace afterscope
