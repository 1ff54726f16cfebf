// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/picture/covers.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <span>
#include <string>

namespace afterscope {

// A small copy of a recording that plays anywhere: MP4 (H.264, 8 bits, square pixels, upright), the same
// frames at the same times, covers burnt in, silent, nothing that the recording's file said about itself.
struct CoveredCopy {
  RecordingShape original;
  RecordingShape copy;
  ShownPicture shown;  // the original's
  double scale = 1;    // pixels of the copy for one shown square pixel

  Pts PlaceOf(Pts original_pts) const;  // the end of the one is the end of the other
  PointPx SpotOf(PointPx original_px) const;
};

// Writes it. The copy is at most 1280 by 720 and never larger than the original. kNotComputable where the
// copy does not hold as many frames as the original. Stopped or failed, it leaves no file under the name.
// Blocks.
Result<CoveredCopy> WriteCoveredCopy(Recording& recording, std::span<const CoverArea> covers,
                                     const std::string& path, int quality, const Progress& progress,
                                     const StopQuery& stop, FileSystem& files = RealFileSystem());

}  // namespace afterscope
