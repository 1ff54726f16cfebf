// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/case_index.hpp"
#include "annotate/store/index/visit_text.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

std::string Word(const SqlRow& row, int column) { return std::string(row.Text(column)); }

FrameRef FrameAt(const SqlRow& row, int column) {
  return {static_cast<int>(row.Int(column)), Pts{row.Int(column + 1)}};
}

IndexCase CaseFrom(const SqlRow& row) {
  IndexCase entry;
  entry.id = row.Int(0);
  std::string* const texts[] = {
      &entry.folder,        &entry.stamp,         &entry.problem,         &entry.code,
      &entry.date,          &entry.eye,           &entry.operation,       &entry.step_list,
      &entry.operator_code, &entry.operator_role, &entry.supervisor_code, &entry.supervision_level};
  int column = 1;
  for (std::string* text : texts) *text = Word(row, column++);
  entry.recorded_s = row.Real(column);
  return entry;
}

IndexFinding FindingFrom(const SqlRow& row, const std::string& name, const std::string& step) {
  IndexFinding finding;
  finding.name = name;
  finding.step = step;
  finding.operator_code = Word(row, 1);
  if (!row.Null(2)) finding.value = row.Real(2);
  finding.low = row.Real(3);
  finding.high = row.Real(4);
  finding.unit = Word(row, 5);
  finding.taken_over = row.Int(6) != 0;
  finding.shared = row.Int(7) != 0;
  if (!row.Null(9)) finding.frame = FrameAt(row, 8);
  return finding;
}

}  // namespace

Result<std::vector<IndexCase>> CaseIndex::CasesUnder(const std::string& folder) {
  std::vector<IndexCase> cases;
  AFTERSCOPE_TRY(database_->Each(
      "SELECT id, folder, stamp, problem, code, date, eye, operation, step_list, operator_code, "
      "operator_role, supervisor_code, supervision_level, recorded_s FROM cases "
      "WHERE (folder = $1 OR (folder > $2 AND folder < $3)) ORDER BY date, folder",
      {folder, folder + "/", folder + "0"}, [&](const SqlRow& row) { cases.push_back(CaseFrom(row)); }));
  std::map<std::int64_t, IndexCase*> by_id;
  for (IndexCase& entry : cases) by_id[entry.id] = &entry;
  AFTERSCOPE_TRY(
      database_->Each("SELECT case_id, kind, name, value FROM case_words", {}, [&](const SqlRow& row) {
        const auto found = by_id.find(row.Int(0));
        if (found == by_id.end()) return;
        if (row.Text(1) == "difficulty")
          found->second->difficulty.push_back(Word(row, 2));
        else
          found->second->extra[Word(row, 2)] = Word(row, 3);
      }));
  AFTERSCOPE_TRY(database_->Each(
      "SELECT id, case_id, review, reviewer_code, kind, is_signed, complications_known, is_self, version, "
      "version_of, seal FROM reviews ORDER BY id",
      {}, [&](const SqlRow& row) {
        const auto found = by_id.find(row.Int(1));
        if (found == by_id.end()) return;
        IndexReview review;
        review.id = row.Int(0);
        review.review = Word(row, 2);
        review.reviewer_code = Word(row, 3);
        review.kind = Word(row, 4);
        review.is_signed = row.Int(5) != 0;
        review.complications_known = row.Int(6) != 0;
        review.is_self = row.Int(7) != 0;
        review.version = static_cast<int>(row.Int(8));
        review.version_of = Word(row, 9);
        review.seal = Word(row, 10);
        found->second->reviews.push_back(std::move(review));
      }));
  return cases;
}

Result<std::vector<IndexMeasure>> CaseIndex::Measures() {
  std::vector<IndexMeasure> measures;
  AFTERSCOPE_TRY(database_->Each("SELECT name, step, unit FROM finding_kinds ORDER BY name, step", {},
                                 [&](const SqlRow& row) {
                                   measures.push_back({Word(row, 0), Word(row, 1), Word(row, 2)});
                                 }));
  return measures;
}

Result<std::vector<IndexValue>> CaseIndex::Values(const std::string& name, const std::string& step) {
  std::vector<IndexValue> values;
  AFTERSCOPE_TRY(database_->Each(
      "SELECT review_id, operator_code, value, low, high, unit, taken_over, shared, recording, ticks "
      "FROM findings WHERE name = $1 AND step = $2",
      {name, step}, [&](const SqlRow& row) {
        values.push_back({row.Int(0), FindingFrom(row, name, step)});
      }));
  return values;
}

Result<std::map<std::int64_t, std::vector<IndexVisit>>> CaseIndex::Visits() {
  std::map<std::int64_t, std::vector<IndexVisit>> visits;
  AFTERSCOPE_TRY(database_->Each("SELECT review_id, list FROM visits", {}, [&](const SqlRow& row) {
    visits.emplace_hint(visits.end(), row.Int(0), VisitsFromText(row.Text(1)));
  }));
  return visits;
}

Result<std::map<std::int64_t, std::vector<IndexMoment>>> CaseIndex::Moments(const std::string& kind) {
  std::map<std::int64_t, std::vector<IndexMoment>> moments;
  AFTERSCOPE_TRY(database_->Each(
      "SELECT review_id, kind, item, words, operator_code, step, at_s, recording, ticks FROM moments "
      "WHERE kind = $1 ORDER BY review_id, place",
      {kind}, [&](const SqlRow& row) {
        moments[row.Int(0)].push_back({Word(row, 1), Word(row, 2), Word(row, 3), Word(row, 4), Word(row, 5),
                                       row.Real(6), FrameAt(row, 7)});
      }));
  return moments;
}

Result<std::map<std::int64_t, std::vector<IndexScore>>> CaseIndex::Scores() {
  std::map<std::int64_t, std::vector<IndexScore>> scores;
  AFTERSCOPE_TRY(database_->Each(
      "SELECT review_id, sheet, item, value FROM scores ORDER BY review_id", {}, [&](const SqlRow& row) {
        scores[row.Int(0)].push_back(
            {Word(row, 1), Word(row, 2), row.Null(3) ? std::nullopt : std::optional(row.Real(3))});
      }));
  return scores;
}

Result<std::map<std::int64_t, std::string>> CaseIndex::CheckStates(const std::string& key) {
  std::map<std::int64_t, std::string> states;
  AFTERSCOPE_TRY(database_->Each("SELECT review_id, state FROM checks WHERE item = $1", {key},
                                 [&](const SqlRow& row) { states[row.Int(0)] = Word(row, 1); }));
  return states;
}

}  // namespace afterscope
