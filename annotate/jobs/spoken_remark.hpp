// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/spoken.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <span>
#include <string>
#include <vector>

namespace afterscope {

constexpr double kMostSpokenSeconds = 300;

// Writes what was spoken (mono, kSoundRate, at most kMostSpokenSeconds) into the session's review and returns
// the edits that make it a remark at that frame. Until they are committed nothing names the file, and the
// next opening of the case removes it. kBadCall for no sound or too much of it, kUnwritable.
Result<EditGroup> KeepSpoken(CaseSession& session, FrameRef at, std::span<const float> mono,
                             FileSystem& files = RealFileSystem());

// The sound of a spoken remark (sound_format.hpp), decoded in a helper process. kUnreadable, kStopped.
Result<std::vector<float>> ReadSpoken(const std::string& path, const StopQuery& stop);

// The spoken remark at `at` or the last one before it; null: there is none.
const Moment* SpokenBefore(const Review& review, FrameRef at);

}  // namespace afterscope
