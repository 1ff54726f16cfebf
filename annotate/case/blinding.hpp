// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// Whether a review is made without being shown whose case it is: blinded, and not signed yet. As long as it
// is, nothing may be shown that could tell the reviewer, or what is expected of the case: operator,
// supervisor, roles and codes, dates, names of the case folder and its files, voices (the sound), burnt-in
// text (covers are drawn), small pictures of other cases, earlier times and scores of this operator.
bool IsBlind(const Review& review);

// The case as its reviewer may see it. Blind: without code, date, roles and further fields; "operator" and
// "supervisor" stand for their codes and "recording 1" for the first file's name. What is measured stays. For
// showing and for computing, not for opening the recordings.
CaseRecord ShownRecord(const CaseRecord& record, const Review& review);
// The review with operators' codes replaced likewise ("another" for further ones).
Review ShownReview(const CaseRecord& record, const Review& review);
// The code behind an operator as ShownReview shows it, for an edit: "operator" is the case's own (an empty
// code), "supervisor" the case's supervisor; any other text, or where the review is not blind, stays as it
// is.
std::string ActualCode(const CaseRecord& record, const Review& review, const std::string& shown);
// "Case 3" where blind, else the case's code (the folder's name is the caller's). `number` counts from 1 in
// the order in which the cases are shown.
std::string ShownCaseName(const CaseRecord& record, const Review& review, std::size_t number);

// The order in which blind cases are shown, so that it tells nothing: a permutation of 0 ... count-1 that
// depends on count and seed alone, on every machine.
inline constexpr std::uint64_t kShuffleSeed = 1;
std::vector<std::size_t> ShuffledOrder(std::size_t count, std::uint64_t seed = kShuffleSeed);

// Whether the blinding of a review may become `next`: it starts before anything is tagged, ends by signing,
// and may be lifted before, which stays noted.
Status CheckBlindingChange(const Review& review, Blinding next);
// Whether a group lifts the blinding: that a reviewer was shown whose case it is can't be taken back.
bool LiftsBlinding(const EditGroup& group);

// Whether the reviewer is to be asked, now that the review is signed, if he recognised the operator.
bool AsksWhetherRecognised(const CaseRecord& record, const Review& review);

}  // namespace afterscope
