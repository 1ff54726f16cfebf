// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/frame_table.hpp"
#include "metrics/base/time.hpp"

#include <chrono>
#include <string>
#include <vector>

namespace afterscope {

using BenchClock = std::chrono::steady_clock;

double Since(BenchClock::time_point start);

// A "name value" line.
void PrintValue(const std::string& name, double value);
// Median, 95 of 100 and the most, each as a line.
void PrintSpread(const std::string& name, const std::vector<double>& values);
// The value below which that share of them lies.
double ValueAt(std::vector<double> values, double share);

// Ends the program with the sentence on standard error.
[[noreturn]] void Die(const std::string& why);

// Memory of this process and those it started, shared pages counted in parts.
double FamilyPssMiB();

// So many frames of a table; the same ones each time.
std::vector<Pts> RandomFrames(const FrameTable& table, int count);

}  // namespace afterscope
