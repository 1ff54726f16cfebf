// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/sign_check.hpp"

#include "annotate/case/review_access.hpp"
#include "annotate/store/score_sheet_file.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

Error Refused(const Review& review, const std::string& why) {
  return {ErrorCode::kBadCall, fmt::format("Can't sign review '{}': {}", review.id.value, why)};
}

Status CheckScores(const Review& review, const std::string& case_folder, FileSystem& files) {
  std::string asked;
  for (const Score& score : review.scores) {
    if (score.id.sheet == asked) continue;
    asked = score.id.sheet;
    const auto sheet = LoadScoreSheetFile(fmt::format("{}/score_sheets/{}.json", case_folder, asked), files);
    if (!sheet.ok()) continue;
    const auto missing = UnfinishedScores(*sheet, review.scores, review);
    if (!missing.empty())
      return Refused(review, fmt::format("in the score sheet '{}' {}", sheet->name, missing.front()));
  }
  return {};
}

}  // namespace

Status CheckMaySign(const Review& review, const std::string& by, const std::string& case_folder,
                    FileSystem& files) {
  if (review.is_signed) return Refused(review, "it is signed already; changes are a new version.");
  if (!IsTouched(review)) return Refused(review, "it holds nothing yet.");
  if (by.empty()) return Refused(review, "say who signs, by --reviewer CODE.");
  if (!review.reviewer_code.empty() && by != review.reviewer_code)
    return Refused(review, fmt::format("its reviewer is '{}', not '{}'.", review.reviewer_code, by));
  return CheckScores(review, case_folder, files);
}

}  // namespace afterscope
