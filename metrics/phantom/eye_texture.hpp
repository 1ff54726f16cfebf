// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/canvas.hpp"
#include "metrics/phantom/scene.hpp"

namespace afterscope::phantom {

// Sclera with vessels, limbus and iris, in the plane of the limbus; BGR. The middle of the grey transition
// (half way between the colours of iris and sclera) lies on the scene's limbus.
Texture EyeTexture(const Scene& scene);
// What does not move with the eye: lids, lashes, speculum, drape; BGRA, alpha 0 where the eye is seen.
Texture LidTexture(const Scene& scene);
// What shines through a clear pupil, in the plane of the capsule; BGR.
Texture ReflexTexture(const Scene& scene);
// The nucleus of the lens as one disc; BGR.
Texture NucleusTexture(const Scene& scene);
// How dense it is, CV_8U, in the same frame: least near the rim, where the reflex shines through.
Texture NucleusDensity(const Scene& scene);
// White shreds of cortex; BGR, and how dense they are in `density` (CV_8U, same size).
Texture CortexTexture(const Scene& scene, cv::Mat& density);

}  // namespace afterscope::phantom
