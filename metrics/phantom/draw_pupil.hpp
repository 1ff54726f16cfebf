// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/script.hpp"

namespace afterscope::phantom {

// What is seen through the pupil, made once for a scene.
struct PupilTextures {
  Texture reflex;
  Texture nucleus;
  Texture nucleus_density;
  Texture cortex;
  Texture cortex_density;
};
PupilTextures MakePupilTextures(const Scene& scene);

// Paints the pupil and what is seen through it: red reflex, nucleus or its quarters, cortex, capsule edge and
// flap, fluid wave, lens.
void DrawPupil(const Scene& scene, const Script& script, const PupilTextures& textures, const Placement& eye,
               double seconds, cv::Mat& picture);

// The parts, each into a patch that shows the plane behind the pupil.
void DrawNucleus(const Script& script, const PupilTextures& textures, double magnification,
                 const Placement& eye, double seconds, Patch& inside);
void DrawCapsule(const Scene& scene, const Script& script, const Placement& eye, double seconds,
                 Patch& inside);
void DrawLens(const Scene& scene, const Script& script, const Placement& eye, double seconds, Patch& inside);

}  // namespace afterscope::phantom
