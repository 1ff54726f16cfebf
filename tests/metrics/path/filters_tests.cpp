// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/filters.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

void CheckAll(const std::vector<double>& values, std::vector<double> expected, double divisor,
              double margin) {
  REQUIRE(values.size() == expected.size());
  for (std::size_t i = 0; i < values.size(); ++i)
    CHECK(values[i] == Approx(expected[i] / divisor).margin(margin));
}

// Convolution weights of Savitzky and Golay, Anal Chem 1964;36:1627 (tables in wide use, computed again with
// scipy.signal.savgol_coeffs 1.10.1, use="dot").
TEST_CASE("Savitzky-Golay weights are the published ones", "[path]") {
  CheckAll(*SavitzkyGolay(2, 2, 0), {-3, 12, 17, 12, -3}, 35, 1e-12);
  CheckAll(*SavitzkyGolay(3, 2, 0), {-2, 3, 6, 7, 6, 3, -2}, 21, 1e-12);
  CheckAll(*SavitzkyGolay(4, 3, 0), {-21, 14, 39, 54, 59, 54, 39, 14, -21}, 231, 1e-12);
  CheckAll(*SavitzkyGolay(3, 4, 0), {5, -30, 75, 131, 75, -30, 5}, 231, 1e-12);
  CheckAll(*SavitzkyGolay(2, 2, 1), {-2, -1, 0, 1, 2}, 10, 1e-12);
  CheckAll(*SavitzkyGolay(3, 2, 1), {-3, -2, -1, 0, 1, 2, 3}, 28, 1e-12);
  CheckAll(*SavitzkyGolay(2, 3, 1), {1, -8, 0, 8, -1}, 12, 1e-12);
  CheckAll(*SavitzkyGolay(3, 3, 1), {22, -67, -58, 0, 58, 67, -22}, 252, 1e-12);
  CheckAll(*SavitzkyGolay(2, 2, 2), {2, -1, -2, -1, 2}, 7, 1e-12);
  CheckAll(*SavitzkyGolay(3, 2, 2), {5, 0, -3, -4, -3, 0, 5}, 42, 1e-12);
  CheckAll(*SavitzkyGolay(2, 3, 3), {-1, 2, 0, -2, 1}, 2, 1e-12);
  CheckAll(*SavitzkyGolay(3, 3, 3), {-1, 1, 1, 0, -1, -1, 1}, 6, 1e-12);
}

// scipy.signal.butter(N, fc / (fs / 2)), scipy 1.10.1.
TEST_CASE("Butterworth coefficients are those of the bilinear transform", "[path]") {
  const auto a = ButterworthLowPass(2, 6, 30);
  CheckAll(a->b, {0.20657208, 0.41314417, 0.20657208}, 1, 1e-8);
  CheckAll(a->a, {1, -0.36952738, 0.19581571}, 1, 1e-8);
  const auto same = ButterworthLowPass(2, 5, 25);
  CheckAll(same->b, a->b, 1, 1e-12);
  const auto b = ButterworthLowPass(2, 6, 25);
  CheckAll(b->b, {0.27472685, 0.5494537, 0.27472685}, 1, 1e-8);
  CheckAll(b->a, {1, -0.07362385, 0.17253125}, 1, 1e-8);
  const auto c = ButterworthLowPass(2, 10, 60);
  CheckAll(c->b, {0.15505103, 0.31010205, 0.15505103}, 1, 1e-8);
  CheckAll(c->a, {1, -0.6202041, 0.24040821}, 1, 1e-8);
  const auto d = ButterworthLowPass(4, 6, 30);
  CheckAll(d->b, {0.04658291, 0.18633163, 0.27949744, 0.18633163, 0.04658291}, 1, 1e-8);
  CheckAll(d->a, {1, -0.7820952, 0.67997853, -0.1826757, 0.03011888}, 1, 1e-8);
}

TEST_CASE("Two passes are down by 3 dB at the stated cutoff and shift nothing", "[path]") {
  std::vector<double> wave;
  for (int i = 0; i < 1200; ++i) wave.push_back(std::sin(2 * std::numbers::pi * 5 * i / 30.0 + 0.3));
  const auto out = ZeroPhaseLowPass(wave, 5, 30);
  REQUIRE(out);
  double in_phase = 0, quadrature = 0;
  for (int i = 300; i < 900; ++i) {
    in_phase += (*out)[static_cast<std::size_t>(i)] * wave[static_cast<std::size_t>(i)];
    quadrature += (*out)[static_cast<std::size_t>(i)] * std::cos(2 * std::numbers::pi * 5 * i / 30.0 + 0.3);
  }
  CHECK(in_phase / 300 == Approx(std::sqrt(0.5)).epsilon(1e-4));
  CHECK(quadrature / 300 == Approx(0).margin(1e-6));
}

TEST_CASE("A constant and a straight line pass unchanged, ends and all", "[path]") {
  std::vector<double> line;
  for (int i = 0; i < 60; ++i) line.push_back(100 + 3.5 * i);
  const auto out = ZeroPhaseLowPass(line, 5, 30);
  for (std::size_t i = 0; i < line.size(); ++i) CHECK((*out)[i] == Approx(line[i]).margin(0.05));
}

TEST_CASE("The noise of filtered steps is what simulation finds", "[path]") {
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal;
  std::vector<double> noise;
  for (int i = 0; i < 60000; ++i) noise.push_back(normal(random));
  const auto out = ZeroPhaseLowPass(noise, 5, 30);
  double sum = 0;
  for (std::size_t i = 1; i < out->size(); ++i) sum += std::pow((*out)[i] - (*out)[i - 1], 2);
  CHECK(std::sqrt(sum / 59999) == Approx(StepNoiseGain(5, 30)).epsilon(0.02));
}

TEST_CASE("Degenerate: filters that do not exist", "[path]") {
  CHECK_FALSE(ButterworthLowPass(2, 15, 30));
  CHECK_FALSE(ButterworthLowPass(2, 0, 30));
  CHECK_FALSE(ButterworthLowPass(0, 5, 30));
  CHECK_FALSE(ZeroPhaseLowPass({1, 2, 3}, 5, 30));
  CHECK_FALSE(SavitzkyGolay(2, 5, 0));
  CHECK_FALSE(SavitzkyGolay(2, 2, 3));
  CHECK_FALSE(SavitzkyGolay(0, 0, 0));
}

}  // namespace
}  // namespace afterscope
