// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/describe_recording.hpp"

#include "annotate/media/recording.hpp"
#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

namespace afterscope {

Result<RecordingRef> DescribeRecording(const std::string& case_folder, const std::string& file,
                                       TableState state, const Progress& progress, const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const Fingerprint fingerprint, SampleFingerprint(file));
  AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(file, {}));
  AFTERSCOPE_ASSIGN(const auto table, recording->WaitForTable(state, progress, stop));
  if (table->empty())
    return Error{ErrorCode::kUnreadable, fmt::format("No frame of '{}' could be found.", file)};
  return RecordingRef{PathInCase(case_folder, file), fingerprint, recording->Shape()};
}

}  // namespace afterscope
