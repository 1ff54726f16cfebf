// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/replay.hpp"

#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

namespace afterscope {
namespace {

std::vector<std::string> SeedsOf(const FuzzTarget& target) {
  std::vector<std::string> seeds;
  for (const auto& file :
       std::filesystem::directory_iterator(std::string(places::kTestData) + "/seeds/" + target.name)) {
    std::ifstream in(file.path(), std::ios::binary);
    seeds.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  }
  return seeds;
}

// Some bytes changed, put in, left out or said twice, sometimes the end missing.
std::string Changed(std::string bytes, std::mt19937& random) {
  const auto below = [&](std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
  };
  constexpr std::string_view kOfInterest = "\"{}[],:\n\t-+.eE0123456789\xFF\x00/\\= ";
  for (std::size_t changes = 1 + below(4); changes > 0 && !bytes.empty(); --changes) {
    const std::size_t at = below(bytes.size());
    const char letter = kOfInterest[below(kOfInterest.size())];
    switch (below(5)) {
      case 0:
        bytes[at] = letter;
        break;
      case 1:
        bytes.insert(at, 1, letter);
        break;
      case 2:
        bytes.erase(at, 1 + below(20));
        break;
      case 3:
        bytes.insert(below(bytes.size()), bytes.substr(at, 1 + below(60)));
        break;
      default:
        bytes.resize(at);
    }
  }
  return bytes;
}

}  // namespace

void ReplaySeeds(std::span<const FuzzTarget> targets) {
  for (const FuzzTarget& target : targets) {
    const std::vector<std::string> seeds = SeedsOf(target);
    INFO(target.name);
    REQUIRE(!seeds.empty());
    std::mt19937 random(1);
    for (const std::string& seed : seeds) {
      target.run(seed);
      for (int i = 0; i < target.changed_per_seed; ++i) target.run(Changed(seed, random));
    }
  }
}

}  // namespace afterscope
