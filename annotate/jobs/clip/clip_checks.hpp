// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/clip_source.hpp"

#include <string>

namespace afterscope {

// What must hold before anything of a plan is written.

// The cases of all parts allow the options' purpose.
Status CheckConsents(const ClipPlan& plan, const ClipSource& source, const ClipOptions& options);
// Nothing lies there yet: a clip never overwrites.
Status CheckFree(const std::string& path, FileSystem& files);

}  // namespace afterscope
