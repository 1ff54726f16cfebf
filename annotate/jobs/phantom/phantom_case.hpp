// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/eye_geometry.hpp"

#include <string>

namespace afterscope {

// What a case record states of a phantom's eye: exactly what is true of it.
void StateEye(const phantom::EyeGeometry& eye, CaseRecord& record);

// The phantom's files as the case's recordings, with their fingerprints.
Status AddRecordings(const PhantomFrames& frames, const std::string& case_folder, CaseRecord& record);

}  // namespace afterscope
