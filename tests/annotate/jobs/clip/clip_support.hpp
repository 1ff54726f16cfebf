// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/clip/clip_plan.hpp"
#include "metrics/base/picture.hpp"
#include "tests/support/temporary_folder.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A recording whose pictures carry their number and whose sound clicks at the beginning of each whole second.

inline constexpr int kNumberedWidth = 320, kNumberedHeight = 192, kNumberedRate = 25;

// A picture that carries its number: twenty blocks in a row, white for one and black for nought.
void WriteNumbered(const std::string& path, int count);
int NumberIn(const Picture& picture);
// Of all pictures of a file, in order.
std::vector<int> NumbersIn(const std::string& path);

// A case of that file in the folder, with consent for local teaching; returns its folder.
CaseRecord RecordWith(const std::string& folder, const std::string& file);
std::string NewCase(const TemporaryFolder& folder, const std::string& file);

// One stretch, in seconds, in the recording's own size and rate.
ClipPlan PlanOf(double from, double to, double speed);

// Seconds at which a click of at least that height begins, at most one in a tenth of a second.
std::vector<double> ClicksIn(const std::vector<float>& stereo, float height);

}  // namespace afterscope
