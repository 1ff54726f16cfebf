// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What a recording may be used for, from the least to the most public; the words of the consent's purposes.
inline constexpr const char* kClipPurposes[] = {"review", "local teaching", "publication"};

struct ClipOptions {
  std::string purpose = "local teaching";
  std::string today;  // ISO 8601 date, for delete-by dates
  int quality = 22;   // constant quality of the encoder, 0 to 51; lower is better
  // Of x264. At quality 22, 13 s of moved real frames with noise: as like the original as "medium" (SSIM
  // 0.8938 and 0.8937), in 0.68 of its time, 0.79 of its size; a phantom: 0.9876 and 0.9873, 0.64, 0.87.
  std::string preset = "faster";
  bool caption_file = true;  // WebVTT beside the clip, where there are captions
};

struct ClipDone {
  std::int64_t frames = 0;
  std::string caption_file;           // empty: none was written
  std::vector<std::string> cautions;  // what was left out and why
  // What the recordings carry that is not in the clip (left_behind.hpp).
  std::vector<std::string> left_behind;
};

// Whether the case's patient allowed that use: fails with the reason.
Status CheckConsent(const CaseRecord& record, const std::string& purpose, const std::string& today);

// Makes the clip: MP4 (H.264, AAC) or WebM (VP9, Opus) by the name's ending. Never overwrites. Recordings'
// titles, dates, places, devices and user data do not come along. Stopped or failed, it leaves no file under
// the name. Blocks.
Result<ClipDone> MakeClip(const std::string& case_folder, const ClipPlan& plan, const std::string& path,
                          const ClipOptions& options, const Progress& progress, const StopQuery& stop,
                          FileSystem& files = RealFileSystem());

// The stills of a plan as PNG, as the clip would show them, covers and all: those that it has, else the first
// frame of each stretch that no fade darkens. One is written to `path` (which ends in .png), more to names
// with a number before the ending; none is ever overwritten. Returns the names. Consent as for a clip.
Result<std::vector<std::string>> MakeStills(const std::string& case_folder, const ClipPlan& plan,
                                            const std::string& path, const ClipOptions& options,
                                            const Progress& progress, const StopQuery& stop,
                                            FileSystem& files = RealFileSystem());

}  // namespace afterscope
