// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct PackOptions {
  std::optional<ReviewId>
      review;         // empty: the signed one that stands last and is not the operator's own view
  std::string today;  // ISO 8601 date, for delete-by dates
  int quality = 26;   // constant quality of the encoder, 0 to 51; lower is better
  std::string assets_folder;
  std::string program_version;
  std::string made_at;  // ISO 8601
};

struct PackDone {
  std::string report;                 // path
  std::vector<std::string> cautions;  // what was left out and why
};

// Makes the folder that the operator of a case is handed after it was reviewed: a case folder of its own with
// covered silent copies of the recordings, one signed review (without drafts, narration and spoken sound),
// its score sheets, and the report. Other reviews, what the case knows beyond this review (outcomes, the
// figures of an imported table), and the history of how the review came about do not go along. Refused with
// the reason where the review is not signed, where it has to stay hidden from the operator's own review, and
// where the consent does not reach. The folder must not exist; stopped or failed, none is left. Blocks.
Result<PackDone> PackCase(const std::string& case_folder, const std::string& pack_folder,
                          const PackOptions& options, const Progress& progress, const StopQuery& stop,
                          FileSystem& files = RealFileSystem());

struct TakenAnswers {
  int fresh = 0;
  int scrubbed = 0;  // left out: they may be what the case has, from before it was scrubbed
};

// Takes the answers to the review out of a handed-over folder into the case that it came from, each once.
// kBadCall where the folder was not made from a review of this case.
Result<TakenAnswers> TakeInAnswers(const std::string& case_folder, const std::string& pack_folder,
                                   FileSystem& files = RealFileSystem());

}  // namespace afterscope
