// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/script.hpp"

namespace afterscope::phantom {

// The cuts at the limbus once they are made, with a little blood.
void DrawWounds(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                cv::Mat& picture);
// Bubbles under the cornea while there is viscoelastic in the eye, and the light's reflections on the cornea.
void DrawBubblesAndGlints(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                          cv::Mat& picture);

}  // namespace afterscope::phantom
