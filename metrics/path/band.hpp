// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/path/motion_smoother.hpp"

namespace afterscope {

// Share of a motion's amplitude that is left at a frequency: the gain of a second-order Butterworth low-pass
// run forwards and backwards, 1 / (1 + (f / c)^4), with c = half_power_hz / (root 2 - 1)^(1/4) so that half
// of the power is left at `half_power_hz` after both passes (Winter, Biomechanics and Motor Control of Human
// Movement, from memory).
double BandGain(double hz, double half_power_hz);

// The motion within that band: the gain is applied to the track's spectrum, so that it is the same at every
// rate (a recursive filter's is not: near half of the rate it is bent). No phase. The ends are continued by
// reflection in the end of a parabola through the outermost positions. Asks for 4 positions at least and 0 <
// half_power_hz < rate / 2.
Track WithinBand(const Track& track, double half_power_hz, double rate_hz);

}  // namespace afterscope
