// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/path/tip_path.hpp"
#include "metrics/phantom/phantom.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What a finding of a phantom's case should be; `name`, `step`, `operator_code`, `mark`, `trail` and
// `recording` say which finding.
struct TrueValue {
  std::string name;
  double value = 0;
  std::string unit;
  std::optional<std::string>
      plane;  // of every length behind the cornea: "capsule", "lens"; "cornea" at the limbus
  std::optional<std::string> step;
  std::optional<std::string> operator_code;
  std::optional<MarkId> mark;
  std::optional<TrailId> trail;
  std::optional<int> recording;  // of a finding that is one a recording
};

// The frequency band in which a path's length is true: a second-order Butterworth low pass run forwards and
// backwards, half of the power left at `half_power_hz` (by default where the path findings have it): |H| = 1
// / (1 + (f / c)^4), c = half_power_hz / (sqrt(2) - 1)^(1/4).
struct PathBand {
  double half_power_hz = kTipPathHalfPowerHz;
  double cutoff_hz() const;
};

struct WhoOperates {
  std::string operator_code;
  std::string supervisor_code;
};

// From the scene, its script and the frames' own times; nothing of it comes through a measurement.
std::vector<TrueValue> TrueValues(const phantom::Phantom& phantom, const PhantomFrames& frames,
                                  const WhoOperates& who, const PathBand& band);

// Those of the path of the forceps' tip alone, as far as it goes in these stretches (seconds of its first and
// last position); none where they hold no motion.
std::vector<TrueValue> TruePath(const phantom::Phantom& phantom,
                                const std::vector<HalfOpen<double>>& stretches, const PathBand& band);

// The truth file: the eye, the planes and their magnifications, the true values, the outlines in millimetres
// and as seen, steps and events, and the instrument tips frame by frame.
Json TruthJson(const phantom::Phantom& phantom, const PhantomFrames& frames,
               const std::vector<TrueValue>& values, const PathBand& band);

}  // namespace afterscope
