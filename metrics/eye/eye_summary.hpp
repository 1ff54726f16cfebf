// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/point.hpp"
#include "metrics/eye/eye_motion.hpp"

#include <optional>
#include <utility>
#include <vector>

namespace afterscope {

// How far off an eye is as it is followed: standard deviations, measured on the two recordings each of 16
// phantoms (`verify`, the usual four and twelve of seed 777). No source for real eyes.
struct EyeErrors {
  double turn_deg = 0.02;       // of each frame by itself: 0.015, 0.03 of hard ones
  double slow_turn_deg = 0.02;  // shared by about a second
  double slow_seconds = 1;
  double pupil = 0.017;      // of the diameter, shared by a recording: 0.016 without the worst
  double own_pupil = 0.005;  // of each sight
  double squeeze = 0.01;     // EyeSqueeze, shared by a stretch: 0.003 without the worst, 0.015 with it
  double sharpness = 0.06;   // of each sight, relative
  double zoom = 0.004;       // of a steady zoom, relative: 0.0005; more for an eye that rises and sinks
};

// Each: what was found, and each source of error struck once more on it, again and again. What that adds on
// average is what striking once has added, and is taken off; limits: the wider side of what it spreads, on
// both sides (as for the time outside of the central zone). The same seed gives the same.

// From the 1st to the 99th per cent of turns (degrees) at those times (seconds, in order); as many, not none.
Estimate TurnRange(const std::vector<double>& degrees, const std::vector<double>& seconds, unsigned seed,
                   const EyeErrors& errors = {});

// Mean length of offsets that share an error of `centre_sd` along each axis; not none.
Estimate MeanOffCentre(const std::vector<OffsetPx>& offsets, double centre_sd, unsigned seed);
// Share of them that is longer than `limit`, of which the offsets' unit is uncertain by `unit_sd` (relative).
Estimate ShareOffCentre(const std::vector<OffsetPx>& offsets, double limit, double centre_sd, double unit_sd,
                        unsigned seed);

// Share of sights, even in time, with at least `share` of the sharpness that a tenth of them reach; not none.
Estimate ShareInFocus(const std::vector<double>& sharpness, double share, unsigned seed,
                      const EyeErrors& errors = {});
double FocusLimitOf(const std::vector<double>& sharpness, double share);

// The diameter that a twentieth of them stay below; `stated`: what single ones say of their own standard
// deviation, taken if it is larger. Not none.
Estimate LeastDiameter(const std::vector<double>& diameters, double stated, unsigned seed,
                       const EyeErrors& errors = {});
// Its place among them.
std::size_t LeastDiameterAt(const std::vector<double>& diameters);

// How much an ellipse is squeezed across one direction more than across the other: the logarithm of its axis
// ratio, as a vector of twice the angle. By cos of a tilt across the axis of it.
OffsetMm EyeSqueeze(const EyeEllipse& ellipse, Angle turned);
// The tilt (degrees) of the largest of these changes of squeeze, each the middle of a stretch's sights with
// their spread (standard deviation of that middle, along each axis). Empty for none.
struct StretchSqueeze {
  OffsetMm change;
  double sd = 0;
};
std::optional<Estimate> LargestTilt(const std::vector<StretchSqueeze>& stretches,
                                    const EyeErrors& errors = {});

// Number of lasting changes of zoom by more than 3 %. The limits: as if each might be smaller or larger by
// its error; and a change there and back in each pause of three seconds and more in which the eye was not
// followed.
Estimate CountZoomChanges(const std::vector<TimedZoom>& zooms, const EyeErrors& errors = {});

}  // namespace afterscope
