// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/select_cases.hpp"

#include "annotate/case/review_access.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr double kMostCases = 1e6;  // of one operator
constexpr std::string_view kByDate = "date:";
constexpr std::string_view kByPerson = "operator:";

using MomentsByReview = std::map<std::int64_t, std::vector<IndexMoment>>;
using VisitsByReview = std::map<std::int64_t, std::vector<IndexVisit>>;

bool Passes(const std::string& wanted, const std::string& value) { return wanted.empty() || wanted == value; }

// "none", "any", or one of `keys`.
bool PassesKeys(const std::string& wanted, const std::vector<std::string>& keys) {
  if (wanted.empty()) return true;
  if (wanted == "none") return keys.empty();
  if (wanted == "any") return !keys.empty();
  return std::find(keys.begin(), keys.end(), wanted) != keys.end();
}

std::string ExtraOf(const IndexCase& record, const std::string& name) {
  const auto found = record.extra.find(name);
  return found == record.extra.end() ? std::string() : found->second;
}

bool Operates(const std::string& who, const IndexCase& record, const std::vector<IndexVisit>& visits) {
  return record.operator_code == who || std::any_of(visits.begin(), visits.end(), [&](const IndexVisit& v) {
           return v.operator_code == who && !v.taken_over;
         });
}

// Case numbers of each operator by date, over all cases under the folder, filtered or not.
std::map<std::int64_t, int> CaseNumbers(const std::vector<IndexCase>& records) {
  std::map<std::string, std::vector<const IndexCase*>> by_operator;
  for (const IndexCase& record : records) by_operator[record.operator_code].push_back(&record);
  std::map<std::int64_t, int> numbers;
  for (const auto& [who, own] : by_operator) {
    const bool told = std::all_of(own.begin(), own.end(), [](const IndexCase* record) {
      const double number = NumberFrom(ExtraOf(*record, "case_number")).value_or(0);
      return number >= 1 && number <= kMostCases;
    });
    int counted = 0;
    for (const IndexCase* record : own) {
      ++counted;
      numbers[record->id] = told ? static_cast<int>(*NumberFrom(ExtraOf(*record, "case_number"))) : counted;
    }
  }
  return numbers;
}

void TakeComplications(const std::vector<IndexMoment>& moments, const std::string& who, SeriesCase& entry) {
  for (const IndexMoment& moment : moments)
    (moment.operator_code == who ? entry.complications : entry.others_complications).push_back(moment);
}

std::vector<std::string> KeysOf(const std::vector<IndexMoment>& moments) {
  std::vector<std::string> keys;
  keys.reserve(moments.size());
  for (const IndexMoment& moment : moments) keys.push_back(moment.key);
  return keys;
}

SeriesCase CaseFrom(const IndexCase& record, const IndexReview& review, const SeriesOptions& options) {
  SeriesCase entry;
  entry.folder = record.folder;
  entry.code = record.code;
  entry.date = record.date;
  entry.eye = record.eye;
  entry.operator_code =
      options.filter.operator_code.empty() ? record.operator_code : options.filter.operator_code;
  entry.operator_role = record.operator_role;
  entry.review = review.review;
  entry.reviewer_code = review.reviewer_code;
  entry.review_kind = review.kind;
  entry.difficulty = record.difficulty;
  entry.group = GroupOf(record, options.by);
  entry.complications_known = review.complications_known;
  entry.review_id = review.id;
  return entry;
}

// Whether it has reviews that are asked for, though perhaps none that counts.
bool IsReviewed(const SeriesFilter& filter, const IndexCase& record) {
  return std::any_of(record.reviews.begin(), record.reviews.end(), [&](const IndexReview& review) {
    return Passes(filter.reviewer_code, review.reviewer_code) && Passes(filter.kind, review.kind);
  });
}

const IndexReview* ReviewOfKind(const SeriesFilter& filter, const IndexCase& record, ReviewKind kind) {
  std::vector<ReviewSummary> all;
  for (const IndexReview& review : record.reviews) {
    if (!Passes(filter.reviewer_code, review.reviewer_code)) continue;
    ReviewSummary& summary = all.emplace_back();
    summary.id.value = review.review;
    summary.kind = review.kind == WordOf(ReviewKind::kFormal) ? ReviewKind::kFormal : ReviewKind::kFormative;
    summary.is_self = review.is_self;
    summary.version = review.version;
    summary.version_of.value = review.version_of;
    summary.is_signed = review.is_signed;
  }
  const std::optional<ReviewId> chosen = ReviewForFigures(all, kind);
  for (const IndexReview& review : record.reviews)
    if (chosen && review.review == chosen->value) return &review;
  return nullptr;
}

// "none": nobody's word that there was one, but somebody's that there was none.
bool PassesComplication(const std::string& wanted, const SeriesCase& entry) {
  return (wanted != "none" || entry.complications_known) && PassesKeys(wanted, KeysOf(entry.complications));
}

}  // namespace

bool PassesRecord(const SeriesFilter& filter, const IndexCase& record) {
  const bool dated = (filter.from.empty() && filter.to.empty()) || !record.date.empty();
  return dated && (filter.from.empty() || filter.from <= record.date) &&
         (filter.to.empty() || record.date <= filter.to) && Passes(filter.eye, record.eye) &&
         Passes(filter.operation, record.operation) && Passes(filter.step_list, record.step_list) &&
         Passes(filter.operator_role, record.operator_role) &&
         PassesKeys(filter.difficulty, record.difficulty) &&
         std::all_of(filter.extra.begin(), filter.extra.end(),
                     [&](const auto& field) { return ExtraOf(record, field.first) == field.second; });
}

const IndexReview* ReviewThatCounts(const SeriesFilter& filter, const IndexCase& record) {
  return ReviewOfKind(
      filter, record,
      filter.kind == WordOf(ReviewKind::kFormal) ? ReviewKind::kFormal : ReviewKind::kFormative);
}

const IndexReview* ReviewOfEither(const SeriesFilter& filter, const IndexCase& record) {
  const IndexReview* review = ReviewThatCounts(filter, record);
  return review || !filter.kind.empty() ? review : ReviewOfKind(filter, record, ReviewKind::kFormal);
}

const char* StratumOf(const std::vector<std::string>& difficulty) {
  return difficulty.empty() ? "routine" : "difficult";
}

namespace {

// A case without a date lies on neither side of a day.
std::string SideOf(const std::string& date, const std::string& day, const std::string& before,
                   const std::string& since) {
  if (date.empty()) return "";
  return date < day ? before : since;
}

std::string PersonOrOthers(const IndexCase& record, const std::string& person) {
  if (record.operator_code == person) return person;
  return record.operator_role.empty() ? "others" : record.operator_role;
}

}  // namespace

Status CheckGroups(const std::string& by) {
  if (!by.starts_with(kByDate) || IsDate(by.substr(kByDate.size()))) return {};
  return Error{ErrorCode::kBadCall, fmt::format("Can't part cases by '{}': give date:YYYY-MM-DD.", by)};
}

std::string GroupOf(const IndexCase& record, const std::string& by) {
  if (by.empty()) return "";
  if (by == "operator") return record.operator_code;
  if (by == "role") return record.operator_role;
  if (by == "eye") return record.eye;
  if (by == "difficulty") return StratumOf(record.difficulty);
  if (by == "operation") return record.operation;
  if (by.starts_with(kByDate)) {
    const std::string day = by.substr(kByDate.size());
    return SideOf(record.date, day, "before " + day, "from " + day);
  }
  if (by.starts_with(kByPerson)) return PersonOrOthers(record, by.substr(kByPerson.size()));
  const std::string own = ExtraOf(record, by);
  return IsDate(own) ? SideOf(record.date, own, "before the " + by, "since the " + by) : own;
}

Result<SeriesRecords> RecordsUnder(CaseIndex& index, const std::string& folder) {
  AFTERSCOPE_ASSIGN(std::vector<IndexCase> all, index.CasesUnder(folder));
  std::map<std::string, const IndexCase*> origins;
  for (const IndexCase& record : all)
    for (const IndexReview& review : record.reviews)
      if (!review.seal.empty())
        origins.emplace(OriginOf({{review.review}, review.seal, Recognition::kNotAsked, {}}), &record);
  SeriesRecords records;
  std::vector<bool> handed_over;
  for (const IndexCase& record : all) {
    const auto origin = origins.find(ExtraOf(record, kHandedOver));
    handed_over.push_back(origin != origins.end() && origin->second != &record);
  }
  for (std::size_t i = 0; i < all.size(); ++i)
    (handed_over[i] ? records.handed_over : records.cases).push_back(std::move(all[i]));
  return records;
}

Result<SelectedCases> SelectCases(CaseIndex& index, const std::string& folder, const SeriesOptions& options,
                                  ChooseIndexReview choose) {
  AFTERSCOPE_ASSIGN(SeriesRecords under, RecordsUnder(index, folder));
  std::vector<IndexCase>& records = under.cases;
  AFTERSCOPE_ASSIGN(VisitsByReview visits, index.Visits());
  AFTERSCOPE_ASSIGN(MomentsByReview complications, index.Moments("complication"));
  const std::map<std::int64_t, int> numbers = CaseNumbers(records);
  const SeriesFilter& filter = options.filter;
  SelectedCases selected;
  selected.handed_over =
      static_cast<int>(std::count_if(under.handed_over.begin(), under.handed_over.end(),
                                     [&](const IndexCase& record) { return PassesRecord(filter, record); }));
  for (IndexCase& record : records) {
    if (!PassesRecord(filter, record)) continue;
    const IndexReview* review = choose(filter, record);
    if (!review) {
      selected.without_review += IsReviewed(filter, record) ? 1 : 0;
      continue;
    }
    std::vector<IndexVisit>& own_visits = visits[review->id];
    if (!filter.operator_code.empty() && !Operates(filter.operator_code, record, own_visits)) continue;
    SeriesCase entry = CaseFrom(record, *review, options);
    TakeComplications(complications[review->id], entry.operator_code, entry);
    if (!PassesComplication(filter.complication, entry)) continue;
    if (record.operator_code == entry.operator_code) entry.number = numbers.at(record.id);
    selected.cases.push_back(std::move(entry));
    selected.visits.push_back(std::move(own_visits));
    selected.records.push_back(std::move(record));
  }
  return selected;
}

}  // namespace afterscope
