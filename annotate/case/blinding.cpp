// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/blinding.hpp"

#include "annotate/case/review_access.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <numeric>
#include <random>
#include <utility>

namespace afterscope {
namespace {

constexpr const char* kOperator = "operator";
constexpr const char* kSupervisor = "supervisor";
constexpr const char* kAnother = "another";

// Evenly from 0 to count - 1; std::uniform_int_distribution differs between libraries.
std::uint64_t Below(std::uint64_t count, std::mt19937_64& random) {
  const std::uint64_t most = std::numeric_limits<std::uint64_t>::max() / count * count;
  for (;;)
    if (const std::uint64_t number = random(); number < most) return number % count;
}

}  // namespace

bool IsBlind(const Review& review) { return review.blinding == Blinding::kBlinded && !review.is_signed; }

CaseRecord ShownRecord(const CaseRecord& record, const Review& review) {
  CaseRecord shown = record;
  if (!IsBlind(review)) return shown;
  shown.code.clear();
  shown.date.clear();
  shown.operator_role.clear();
  shown.supervision_level.clear();
  shown.extra.clear();
  shown.signed_reviews.clear();
  if (!shown.operator_code.empty()) shown.operator_code = kOperator;
  if (!shown.supervisor_code.empty()) shown.supervisor_code = kSupervisor;
  for (std::size_t i = 0; i < shown.recordings.size(); ++i)
    if (!shown.recordings[i].path.empty()) shown.recordings[i].path = fmt::format("recording {}", i + 1);
  return shown;
}

Review ShownReview(const CaseRecord& record, const Review& review) {
  Review shown = review;
  if (!IsBlind(review)) return shown;
  for (StepVisit& visit : shown.visits) {
    if (visit.operator_code.empty()) continue;
    if (visit.operator_code == record.operator_code)
      visit.operator_code.clear();
    else
      visit.operator_code =
          visit.operator_code == record.supervisor_code || visit.taken_over ? kSupervisor : kAnother;
  }
  return shown;
}

std::string ActualCode(const CaseRecord& record, const Review& review, const std::string& shown) {
  if (!IsBlind(review)) return shown;
  if (shown == kOperator) return {};
  return shown == kSupervisor ? record.supervisor_code : shown;
}

std::string ShownCaseName(const CaseRecord& record, const Review& review, std::size_t number) {
  return IsBlind(review) ? fmt::format("Case {}", number) : record.code;
}

std::vector<std::size_t> ShuffledOrder(std::size_t count, std::uint64_t seed) {
  std::vector<std::size_t> order(count);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::mt19937_64 random(seed);
  for (std::size_t left = count; left > 1; --left)
    std::swap(order[left - 1], order[static_cast<std::size_t>(Below(left, random))]);
  return order;
}

Status CheckBlindingChange(const Review& review, Blinding next) {
  const Blinding now = review.blinding;
  if (next == now || (now == Blinding::kBlinded && next == Blinding::kLifted)) return {};
  if (now != Blinding::kLifted && next != Blinding::kLifted && !IsTouched(review)) return {};
  return Error{ErrorCode::kBadCall,
               next == Blinding::kBlinded
                   ? fmt::format("Can't blind review '{}': that is done before anything is tagged; start "
                                 "another review.",
                                 review.id.value)
                   : fmt::format("Can't open the blinding of review '{}' so: it can be lifted, which stays "
                                 "noted.",
                                 review.id.value)};
}

bool LiftsBlinding(const EditGroup& group) {
  return std::any_of(group.edits.begin(), group.edits.end(), [](const Edit& edit) {
    const auto* set = std::get_if<SetReviewField>(&edit);
    return set && set->field == "blinding" && set->text == WordOf(Blinding::kLifted);
  });
}

bool AsksWhetherRecognised(const CaseRecord& record, const Review& review) {
  if (review.blinding != Blinding::kBlinded || !review.is_signed) return false;
  const SignedReview* kept = FindSigned(record, review.id);
  return kept && kept->recognised == Recognition::kNotAsked;
}

}  // namespace afterscope
