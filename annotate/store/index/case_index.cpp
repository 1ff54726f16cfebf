// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/case_index.hpp"

#include "annotate/store/index/index_schema.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

constexpr const char* kPartsOfReview[] = {"visits", "moments", "findings", "checks", "scores"};

SqlValue Whole(std::int64_t value) { return value; }
SqlValue Flag(bool value) { return std::int64_t{value ? 1 : 0}; }
SqlValue OrNull(const std::optional<double>& value) { return value ? SqlValue(*value) : SqlValue(nullptr); }

// The folder itself, and what sorts between "FOLDER/" and "FOLDER0", the sign after '/'.
SqlValues FolderRange(const std::string& folder) { return {folder, folder + "/", folder + "0"}; }
constexpr const char* kInFolder = "(folder = $1 OR (folder > $2 AND folder < $3))";

Result<std::unique_ptr<SqlDatabase>> OpenDatabase(const std::string& path, FileSystem& files) {
  if (IsPostgresAddress(path)) return OpenPostgres(path);
  if (const std::string folder = FolderOf(path); !folder.empty()) AFTERSCOPE_TRY(MakeFolders(files, folder));
  return OpenSqlite(path);
}

}  // namespace

Result<std::unique_ptr<CaseIndex>> CaseIndex::Open(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(std::unique_ptr<SqlDatabase> database, OpenDatabase(path, files));
  AFTERSCOPE_TRY(MigrateIndex(*database));
  return std::unique_ptr<CaseIndex>(new CaseIndex(std::move(database)));
}

Result<std::map<std::string, IndexKnown>> CaseIndex::KnownUnder(const std::string& folder) {
  std::map<std::string, IndexKnown> known;
  std::map<std::int64_t, IndexKnown*> by_id;
  AFTERSCOPE_TRY(database_->Each(fmt::format("SELECT id, folder, stamp FROM cases WHERE {}", kInFolder),
                                 FolderRange(folder), [&](const SqlRow& row) {
                                   IndexKnown& entry = known[std::string(row.Text(1))];
                                   entry = {row.Int(0), std::string(row.Text(2)), {}};
                                   by_id[entry.id] = &entry;
                                 }));
  AFTERSCOPE_TRY(
      database_->Each("SELECT case_id, review FROM reviews ORDER BY id", {}, [&](const SqlRow& row) {
        if (const auto found = by_id.find(row.Int(0)); found != by_id.end())
          found->second->reviews.emplace_back(row.Text(1));
      }));
  return known;
}

Status CaseIndex::Write(const std::function<Status()>& change) {
  AFTERSCOPE_TRY(database_->Begin());
  Status done = TakeNextIds();
  if (done.ok()) done = change();
  if (done.ok()) done = database_->Commit();
  if (!done.ok()) {
    database_->Rollback();
    kinds_.clear();  // what this transaction noted is gone
  }
  return done;
}

Status CaseIndex::TakeNextIds() {
  const auto next = [&](const char* table, std::int64_t& id) {
    return database_->Each(fmt::format("SELECT MAX(id) FROM {}", table), {},
                           [&](const SqlRow& row) { id = row.Int(0) + 1; });
  };
  AFTERSCOPE_TRY(next("cases", next_case_));
  return next("reviews", next_review_);
}

Status CaseIndex::Remove(std::int64_t case_id) {
  for (const char* part : kPartsOfReview)
    AFTERSCOPE_TRY(database_->Run(
        fmt::format("DELETE FROM {} WHERE review_id IN (SELECT id FROM reviews WHERE case_id = $1)", part),
        {case_id}));
  AFTERSCOPE_TRY(database_->Run("DELETE FROM reviews WHERE case_id = $1", {case_id}));
  AFTERSCOPE_TRY(database_->Run("DELETE FROM case_words WHERE case_id = $1", {case_id}));
  return database_->Run("DELETE FROM cases WHERE id = $1", {case_id});
}

Status CaseIndex::Put(const IndexCase& entry) {
  std::int64_t old = 0;
  AFTERSCOPE_TRY(database_->Each("SELECT id FROM cases WHERE folder = $1", {entry.folder},
                                 [&](const SqlRow& row) { old = row.Int(0); }));
  if (old != 0) AFTERSCOPE_TRY(Remove(old));
  const std::int64_t id = next_case_++;
  AFTERSCOPE_TRY(
      database_->Run("INSERT INTO cases VALUES ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11,$12,$13,$14)",
                     {id, entry.folder, entry.stamp, entry.problem, entry.code, entry.date, entry.eye,
                      entry.operation, entry.step_list, entry.operator_code, entry.operator_role,
                      entry.supervisor_code, entry.supervision_level, entry.recorded_s}));
  const auto word = [&](const char* kind, const std::string& name, const std::string& value) {
    return database_->Run("INSERT INTO case_words VALUES ($1,$2,$3,$4)",
                          {id, std::string(kind), name, value});
  };
  for (const std::string& difficulty : entry.difficulty) AFTERSCOPE_TRY(word("difficulty", difficulty, ""));
  for (const auto& [name, value] : entry.extra) AFTERSCOPE_TRY(word("extra", name, value));
  for (const IndexReview& review : entry.reviews) AFTERSCOPE_TRY(PutReview(review, id, next_review_++));
  return {};
}

Status CaseIndex::NoteKind(const IndexFinding& finding) {
  if (!finding.value || !kinds_.insert({finding.name, finding.step, finding.unit}).second) return {};
  return database_->Run("INSERT INTO finding_kinds VALUES ($1,$2,$3) ON CONFLICT DO NOTHING",
                        {finding.name, finding.step, finding.unit});
}

Status CaseIndex::PutReview(const IndexReview& review, std::int64_t case_id, std::int64_t id) {
  AFTERSCOPE_TRY(database_->Run("INSERT INTO reviews VALUES ($1,$2,$3,$4,$5,$6,$7,$8)",
                                {id, case_id, review.review, review.reviewer_code, review.kind,
                                 Flag(review.is_signed), review.changed, Flag(review.complications_known)}));
  std::int64_t place = 0;
  for (const IndexVisit& v : review.visits)
    AFTERSCOPE_TRY(database_->Run("INSERT INTO visits VALUES ($1,$2,$3,$4,$5,$6,$7,$8,$9)",
                                  {id, place++, v.step, v.operator_code, Flag(v.taken_over), v.start_s,
                                   v.end_s, Whole(v.start.recording), Whole(v.start.pts.ticks)}));
  place = 0;
  for (const IndexMoment& m : review.moments)
    AFTERSCOPE_TRY(database_->Run("INSERT INTO moments VALUES ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10)",
                                  {id, place++, m.kind, m.key, m.words, m.operator_code, m.step, m.at_s,
                                   Whole(m.at.recording), Whole(m.at.pts.ticks)}));
  for (const IndexFinding& f : review.findings) {
    AFTERSCOPE_TRY(NoteKind(f));
    AFTERSCOPE_TRY(database_->Run(
        "INSERT INTO findings VALUES ($1,$2,$3,$4,$5,$6,$7,$8,$9,$10,$11,$12)",
        {id, f.name, f.step, f.operator_code, OrNull(f.value), f.low, f.high, f.unit, Flag(f.taken_over),
         Flag(f.shared), f.frame ? Whole(f.frame->recording) : SqlValue(nullptr),
         f.frame ? Whole(f.frame->pts.ticks) : SqlValue(nullptr)}));
  }
  for (const IndexCheck& check : review.checks)
    AFTERSCOPE_TRY(database_->Run("INSERT INTO checks VALUES ($1,$2,$3)", {id, check.key, check.state}));
  for (const IndexScore& score : review.scores)
    AFTERSCOPE_TRY(database_->Run("INSERT INTO scores VALUES ($1,$2,$3,$4)",
                                  {id, score.sheet, score.item, OrNull(score.value)}));
  return {};
}

}  // namespace afterscope
