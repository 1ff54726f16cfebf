// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/frame_table.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>

namespace afterscope {

// What a case in `case_folder` keeps of a recording: relative path, sampled fingerprint, and its shape from a
// frame table at least as good as `state`. Only reads the file.
Result<RecordingRef> DescribeRecording(const std::string& case_folder, const std::string& file,
                                       TableState state, const Progress& progress, const StopQuery& stop);

}  // namespace afterscope
