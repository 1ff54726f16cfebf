// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/random.hpp"

#include <cmath>
#include <numbers>

namespace afterscope::phantom {
namespace {

std::uint64_t MixedBits(std::uint64_t z) {
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

}  // namespace

std::uint64_t Random::Next() {
  state_ += 0x9e3779b97f4a7c15ULL;
  return MixedBits(state_);
}

double Random::Uniform() { return static_cast<double>(Next() >> 11) * 0x1.0p-53; }

double Random::Normal() {
  const double u = 1.0 - Uniform();  // never 0
  const double v = Uniform();
  return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
}

Random Random::Fork(std::uint64_t tag) const {
  return Random(MixedBits(state_ ^ MixedBits(tag + 0x51ed2701ULL)));
}

}  // namespace afterscope::phantom
