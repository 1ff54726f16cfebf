// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>

namespace afterscope::phantom {

// Numbers that are the same on every machine and with every standard library for a seed (SplitMix64: Steele,
// Lea and Flood 2014). Not for secrets. One thread at a time. Two draws in one expression would come in the
// compiler's order (C++ leaves it open for arguments and operands, not for members in braces): draw them in
// statements of their own.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  std::uint64_t Next();
  double Uniform();  // [0, 1)
  double Between(double low, double high) { return low + (high - low) * Uniform(); }
  int Below(int count) { return static_cast<int>(Uniform() * count); }
  double Normal();  // mean 0, standard deviation 1
  // A stream of its own, so that one part drawing more numbers leaves the others as they are.
  Random Fork(std::uint64_t tag) const;

 private:
  std::uint64_t state_;
};

}  // namespace afterscope::phantom
