// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/case_index.hpp"

#include "annotate/store/index/index_schema.hpp"
#include "annotate/store/index/visit_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <tuple>

namespace afterscope {
namespace {

struct FindingOfReview {
  std::int64_t review;
  const IndexFinding* finding;
};

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
  // SQLite would make a file that everyone may read; what it keeps beside the file gets the file's rights.
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kAbsent) AFTERSCOPE_TRY(files.OpenAppend(path));
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
  Status done = LookAtTables();
  if (done.ok()) done = change();
  if (done.ok() && removed_any_) done = RemoveUnusedKinds();
  if (done.ok()) done = database_->Commit();
  if (!done.ok()) database_->Rollback();
  return done;
}

Status CaseIndex::LookAtTables() {
  const auto next = [&](const char* table, std::int64_t& id) {
    return database_->Each(fmt::format("SELECT MAX(id) FROM {}", table), {},
                           [&](const SqlRow& row) { id = row.Int(0) + 1; });
  };
  AFTERSCOPE_TRY(next("cases", next_case_));
  AFTERSCOPE_TRY(next("reviews", next_review_));
  kinds_.clear();
  removed_any_ = false;
  return database_->Each("SELECT name, step, unit FROM finding_kinds", {}, [&](const SqlRow& row) {
    kinds_.insert({std::string(row.Text(0)), std::string(row.Text(1)), std::string(row.Text(2))});
  });
}

// Ids are used again: by the time of a change, one that was looked up before it may be another case's.
Status CaseIndex::Remove(const std::string& folder, std::optional<std::int64_t> known_id) {
  std::optional<std::int64_t> id;
  AFTERSCOPE_TRY(database_->Each("SELECT id FROM cases WHERE folder = $1", {folder},
                                 [&](const SqlRow& row) { id = row.Int(0); }));
  return id && (!known_id || id == known_id) ? RemoveCase(*id) : Status();
}

// Their names may hold what a user wrote, such as the text of a mark.
Status CaseIndex::RemoveUnusedKinds() {
  return database_->Run(
      "DELETE FROM finding_kinds WHERE NOT EXISTS (SELECT 1 FROM findings f WHERE f.name = "
      "finding_kinds.name AND f.step = finding_kinds.step AND f.unit = finding_kinds.unit)");
}

Status CaseIndex::RemoveCase(std::int64_t case_id) {
  removed_any_ = true;
  std::vector<std::int64_t> reviews;
  AFTERSCOPE_TRY(database_->Each("SELECT id FROM reviews WHERE case_id = $1", {case_id},
                                 [&](const SqlRow& row) { reviews.push_back(row.Int(0)); }));
  for (const std::int64_t review : reviews)
    for (const char* part : kPartsOfReview)
      AFTERSCOPE_TRY(database_->Run(fmt::format("DELETE FROM {} WHERE review_id = $1", part), {review}));
  AFTERSCOPE_TRY(database_->Run("DELETE FROM reviews WHERE case_id = $1", {case_id}));
  AFTERSCOPE_TRY(database_->Run("DELETE FROM case_words WHERE case_id = $1", {case_id}));
  return database_->Run("DELETE FROM cases WHERE id = $1", {case_id});
}

// Few are asked for one by one; of many it is quicker to be told all.
Status CaseIndex::TakeOld(const std::vector<IndexCase>& entries) {
  constexpr std::size_t kFew = 8;
  std::vector<std::int64_t> old;
  const auto take = [&](const SqlRow& row) { old.push_back(row.Int(0)); };
  if (entries.size() <= kFew) {
    for (const IndexCase& entry : entries)
      AFTERSCOPE_TRY(database_->Each("SELECT id FROM cases WHERE folder = $1", {entry.folder}, take));
  } else {
    std::set<std::string_view> folders;
    for (const IndexCase& entry : entries) folders.insert(entry.folder);
    AFTERSCOPE_TRY(database_->Each("SELECT id, folder FROM cases", {}, [&](const SqlRow& row) {
      if (folders.contains(row.Text(1))) take(row);
    }));
  }
  for (const std::int64_t id : old) AFTERSCOPE_TRY(RemoveCase(id));
  return {};
}

Status CaseIndex::Put(const std::vector<IndexCase>& entries) {
  AFTERSCOPE_TRY(TakeOld(entries));
  std::vector<FindingOfReview> findings;
  for (const IndexCase& entry : entries) {
    const std::int64_t id = next_case_++;
    AFTERSCOPE_TRY(PutRecord(entry, id));
    for (const IndexReview& review : entry.reviews) {
      for (const IndexFinding& finding : review.findings) findings.push_back({next_review_, &finding});
      AFTERSCOPE_TRY(PutReview(review, id, next_review_++));
    }
  }
  // A chart asks for one kind of finding of all cases: rows of a kind lie together, so that it reads few
  // pages.
  std::stable_sort(findings.begin(), findings.end(), [](const FindingOfReview& a, const FindingOfReview& b) {
    return std::tie(a.finding->name, a.finding->step) < std::tie(b.finding->name, b.finding->step);
  });
  for (const auto& [review, finding] : findings) AFTERSCOPE_TRY(PutFinding(*finding, review));
  return {};
}

Status CaseIndex::PutRecord(const IndexCase& entry, std::int64_t id) {
  AFTERSCOPE_TRY(database_->Insert(
      "cases", {id, entry.folder, entry.stamp, entry.problem, entry.code, entry.date, entry.eye,
                entry.operation, entry.step_list, entry.operator_code, entry.operator_role,
                entry.supervisor_code, entry.supervision_level, entry.recorded_s}));
  const auto word = [&](const char* kind, const std::string& name, const std::string& value) {
    return database_->Insert("case_words", {id, std::string(kind), name, value});
  };
  for (const std::string& difficulty : entry.difficulty) AFTERSCOPE_TRY(word("difficulty", difficulty, ""));
  for (const auto& [name, value] : entry.extra) AFTERSCOPE_TRY(word("extra", name, value));
  return {};
}

Status CaseIndex::PutReview(const IndexReview& review, std::int64_t case_id, std::int64_t id) {
  AFTERSCOPE_TRY(database_->Insert(
      "reviews", {id, case_id, review.review, review.reviewer_code, review.kind, Flag(review.is_signed),
                  Flag(review.complications_known), Flag(review.is_self), Whole(review.version),
                  review.version_of, review.seal}));
  AFTERSCOPE_TRY(database_->Insert("visits", {id, TextOfVisits(review.visits)}));
  std::int64_t place = 0;
  for (const IndexMoment& m : review.moments)
    AFTERSCOPE_TRY(database_->Insert("moments", {id, place++, m.kind, m.key, m.words, m.operator_code, m.step,
                                                 m.at_s, Whole(m.at.recording), Whole(m.at.pts.ticks)}));
  for (const IndexCheck& check : review.checks)
    AFTERSCOPE_TRY(database_->Insert("checks", {id, check.key, check.state}));
  for (const IndexScore& score : review.scores)
    AFTERSCOPE_TRY(database_->Insert("scores", {id, score.sheet, score.item, OrNull(score.value)}));
  return {};
}

Status CaseIndex::PutFinding(const IndexFinding& f, std::int64_t review) {
  if (f.value && kinds_.insert({f.name, f.step, f.unit}).second)
    AFTERSCOPE_TRY(database_->Insert("finding_kinds", {f.name, f.step, f.unit}));
  return database_->Insert("findings", {review, f.name, f.step, f.operator_code, OrNull(f.value), f.low,
                                        f.high, f.unit, Flag(f.taken_over), Flag(f.shared),
                                        f.frame ? Whole(f.frame->recording) : SqlValue(nullptr),
                                        f.frame ? Whole(f.frame->pts.ticks) : SqlValue(nullptr)});
}

}  // namespace afterscope
