// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>

namespace afterscope {

// Size and sampled SHA-256 (FORMAT.md, Recording) of a file; reads at most 18 blocks of 64 KiB. It tells
// files apart, it does not prove that a file is unchanged between its samples.
Result<Fingerprint> SampleFingerprint(const std::string& path);

// SHA-256 of the whole file.
Result<std::string> FullDigest(const std::string& path, const Progress& progress, const StopQuery& stop);

enum class RecordingState {
  kThere,  // where the case says, and the same by its sampled fingerprint (or nothing is known to compare
           // with, and it lies in the case's folder, links followed)
  kMoved,  // not there, but a file with this fingerprint lies in the case folder, beside it, or in the folder
           // that the case names, if that is one beside it
  kMissing,
  kDifferent,  // a file is there, but it is another one, or may be: outside the case's folder and not known
  kNotAtHand,  // the case has no recording here, only its times
};

struct RecordingPlace {
  RecordingState state = RecordingState::kMissing;
  std::string path;     // to open, absolute or relative to the working folder; empty unless there or moved
  std::string message;  // one sentence where something has to be said
};

// Finds a recording of a case again. Outside the folder in which the case lies, only the file that the case
// names is looked at.
RecordingPlace FindRecording(const std::string& case_folder, const RecordingRef& recording,
                             FileSystem& files = RealFileSystem());

// `file` as a case in `case_folder` names it: relative, '/' between parts.
std::string PathInCase(const std::string& case_folder, const std::string& file);

}  // namespace afterscope
