// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/review_lines.hpp"

#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::size_t kDateLength = 10;  // of an ISO 8601 time

std::string WhoOf(const ReviewSummary& review, bool names_hidden) {
  if (review.is_self)
    return names_hidden || review.reviewer_code.empty()
               ? "the operator's own view"
               : fmt::format("the operator's own view, {}", review.reviewer_code);
  if (names_hidden) return "another reviewer";
  return review.reviewer_code.empty() ? "a reviewer without a code" : review.reviewer_code;
}

std::string WhatOf(const ReviewSummary& review, bool names_hidden) {
  std::string what(WordOf(review.kind));
  if (review.version > 1) what += fmt::format(", version {}", review.version);
  if (review.blinding == Blinding::kBlinded) what += ", blinded";
  if (review.blinding == Blinding::kLifted) what += ", blinding lifted";
  if (!review.is_signed) return what + (review.is_touched ? ", not signed" : ", empty so far");
  return what + (names_hidden ? ", signed" : ", signed " + review.signed_at.substr(0, kDateLength));
}

ReviewDoor DoorOf(const std::vector<ReviewSummary>& all, const ReviewSummary& review,
                  const ReviewSummary& open, bool names_hidden) {
  if (review.id == open.id) return ReviewDoor::kThis;
  if (names_hidden) return ReviewDoor::kHidden;
  if (review.version_of == open.version_of) return ReviewDoor::kVersion;
  return MayBeShown(all, review.id, open.id) ? ReviewDoor::kOpen : ReviewDoor::kHidden;
}

}  // namespace

std::vector<ReviewLine> ReviewLines(std::vector<ReviewSummary> all, const Review& open, bool names_hidden) {
  const ReviewSummary own = SummaryOf(open);
  const auto same = [&](const ReviewSummary& review) { return review.id == own.id; };
  if (std::none_of(all.begin(), all.end(), same)) all.push_back(own);
  std::vector<ReviewLine> lines;
  for (const ReviewSummary& review : all) {
    const bool hide = names_hidden && review.id != own.id;
    lines.push_back(
        {review.id, WhoOf(review, hide), WhatOf(review, hide), DoorOf(all, review, own, names_hidden)});
  }
  return lines;
}

std::string OpenReviewWords(const Review& review) {
  std::string words = review.kind == ReviewKind::kFormal ? "Formal" : "Formative";
  words += review.is_self ? " own view" : " review";
  if (!review.reviewer_code.empty()) words += " by " + review.reviewer_code;
  if (review.version > 1) words += fmt::format(", version {}", review.version);
  if (review.is_signed)
    words += fmt::format(", signed {}", review.signature.at.substr(0, kDateLength));
  else if (review.blinding == Blinding::kBlinded)
    words += ", blinded until it is signed";
  if (review.blinding == Blinding::kLifted) words += ", blinding lifted";
  return words;
}

}  // namespace afterscope
