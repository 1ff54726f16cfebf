// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_case.hpp"

#include "annotate/store/fingerprint.hpp"

#include <cmath>
#include <utility>

namespace afterscope {

void StateEye(const phantom::EyeGeometry& eye, CaseRecord& record) {
  record.eye = eye.right_eye ? Eye::kRight : Eye::kLeft;
  record.optic_diameter_mm = eye.optic_diameter_mm;
  record.corneal_diameter_mm = eye.corneal_diameter_mm;
  record.corneal_power_d = eye.corneal_power_d;
  record.chamber_depth_mm = eye.chamber_depth_mm;
  const double hour = std::fmod(12 + (90 - eye.seat_deg) / 30, 12);
  record.seat_clock_hour = hour == 0 ? 12 : hour;
  record.orientation_confirmed = true;
}

Status AddRecordings(const PhantomFrames& frames, const std::string& case_folder, CaseRecord& record) {
  for (const RecordingRef& recording : frames.recordings) {
    RecordingRef ref = recording;
    AFTERSCOPE_ASSIGN(ref.fingerprint, SampleFingerprint(recording.path));
    ref.path = PathInCase(case_folder, recording.path);
    record.recordings.push_back(std::move(ref));
  }
  return {};
}

}  // namespace afterscope
