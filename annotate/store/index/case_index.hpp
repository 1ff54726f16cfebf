// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "annotate/store/index/index_rows.hpp"
#include "annotate/store/index/sql_database.hpp"
#include "metrics/base/result.hpp"

#include <array>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace afterscope {

// A finding of one review with the review it belongs to.
struct IndexValue {
  std::int64_t review_id = 0;
  IndexFinding finding;
};

// What kinds of findings there are.
struct IndexMeasure {
  std::string name;
  std::string step;
  std::string unit;
};

// What is known of the case that a folder held when it was last looked at.
struct IndexKnown {
  std::int64_t id = 0;
  std::string stamp;
  std::vector<std::string> reviews;
};

// The index over many cases: tables made from case folders, which stay the truth, so losing it loses nothing.
// One writer and several readers at a time. Thread-compatible.
class CaseIndex {
 public:
  // Opens or makes the file and the folders above it, or (an address "postgresql://...") the tables in that
  // database; brings its tables up to date.
  static Result<std::unique_ptr<CaseIndex>> Open(const std::string& path,
                                                 FileSystem& files = RealFileSystem());

  // The cases in or under a folder (absolute, without a trailing '/'), by folder.
  Result<std::map<std::string, IndexKnown>> KnownUnder(const std::string& folder);
  // Replaces cases, or adds them; ids of the cases and their reviews are given anew. Within Write only. Each
  // folder once in a call.
  Status Put(const std::vector<IndexCase>& entries);
  // Takes out the case of a folder, with the kinds of findings that no case has then; within Write only.
  // Nothing happens where the index has none there, or another than that of `known_id`.
  Status Remove(const std::string& folder, std::optional<std::int64_t> known_id = {});
  // Makes sure that no file beside the index (SQLite's log) holds what was taken out. Waits some seconds for
  // other programs; kUnwritable where one still reads then.
  Status LeaveNoLog() { return database_->LeaveNoLog(); }
  // Carries out `change` as one transaction: all of it or nothing.
  Status Write(const std::function<Status()>& change);

  // Cases in or under a folder in order of date, then folder; their reviews without what is in them.
  Result<std::vector<IndexCase>> CasesUnder(const std::string& folder);
  // The kinds of findings that have a value in any case of the index, by name and step.
  Result<std::vector<IndexMeasure>> Measures();
  // All findings of one kind, of all reviews of the index, operators and cases mixed.
  Result<std::vector<IndexValue>> Values(const std::string& name, const std::string& step);
  // By review of the index, each in order of time.
  Result<std::map<std::int64_t, std::vector<IndexVisit>>> Visits();
  Result<std::map<std::int64_t, std::vector<IndexMoment>>> Moments(const std::string& kind);
  Result<std::map<std::int64_t, std::vector<IndexScore>>> Scores();
  // The state of one check, by review; reviews in which nobody looked at it have none.
  Result<std::map<std::int64_t, std::string>> CheckStates(const std::string& key);

 private:
  explicit CaseIndex(std::unique_ptr<SqlDatabase> database) : database_(std::move(database)) {}
  Status PutRecord(const IndexCase& entry, std::int64_t id);
  Status PutReview(const IndexReview& review, std::int64_t case_id, std::int64_t id);
  Status PutFinding(const IndexFinding& finding, std::int64_t review);
  Status RemoveCase(std::int64_t case_id);
  Status RemoveUnusedKinds();
  Status TakeOld(const std::vector<IndexCase>& entries);
  Status LookAtTables();

  std::unique_ptr<SqlDatabase> database_;
  // What a transaction has to know of the tables, looked up as it begins.
  std::int64_t next_case_ = 0;
  std::int64_t next_review_ = 0;
  std::set<std::array<std::string, 3>> kinds_;
  bool removed_any_ = false;
};

}  // namespace afterscope
