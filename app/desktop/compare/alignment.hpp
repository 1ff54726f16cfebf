// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "app/desktop/picture/picture_view.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Stretches of recordings that are played together, each from its own start. Pure.

// A stretch on its own case clock.
struct ComparedStretch {
  double start_s = 0;
  double length_s = 0;
};

// Own: every stretch runs at the recorded speed, the shorter ones wait at their end. Matched: all end with
// the first one, faster or slower than recorded.
enum class ComparedSpeed { kOwn, kMatched };

// How many seconds of the stretch pass in one second of the common clock. 1 where one of the two has no
// length; 1/8 to 8.
double RateOf(const ComparedStretch& first, const ComparedStretch& stretch, ComparedSpeed speed);
// How long the common clock runs until all have ended.
double CommonLength(const std::vector<ComparedStretch>& stretches, ComparedSpeed speed);
// Where a stretch is on its case clock at a time of the common clock, 0 being the start of all.
double PlaceAt(const ComparedStretch& first, const ComparedStretch& stretch, ComparedSpeed speed,
               double common_s);

bool HasStep(const Review& review, const std::string& step);
// The visits of a step in the first lane, in order; one in which the instruments change hands is one.
std::vector<ComparedStretch> VisitsOf(const Review& review, const CaseClock& clock, const std::string& step);
// The visit's stretch; a visit number beyond the last is the last. Empty where the step was not tagged.
std::optional<ComparedStretch> StretchOf(const Review& review, const CaseClock& clock,
                                         const std::string& step, std::size_t visit);
// Steps that all reviews have, in the order in which the first one has them.
std::vector<std::string> CommonSteps(const std::vector<const Review*>& reviews);

// Places for that many pictures of 16:9 in an area, `gap` pixels apart: in as many columns as make them
// largest.
std::vector<ScreenRect> PaneAreas(std::size_t count, const ScreenRect& area, float gap);

}  // namespace afterscope
