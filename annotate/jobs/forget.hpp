// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

// A file that the program made, or a folder with all that is in it.
struct KeptItem {
  std::string path;
  std::string what;  // in the user's words
  std::int64_t bytes = 0;
};

// What forgetting takes away, in the order in which it goes, and what it leaves; to be shown before it is
// done.
struct Forgetting {
  std::vector<KeptItem> goes;
  std::vector<std::string> stays;  // paths in the same folder that are not the program's own
};

// A case: its record, reviews, signed ones too, clip plans, report and cache; or what a removal of it that
// was cut short has left. Recordings, and whatever else the user keeps in the folder, stay. kUnreadable where
// the folder is neither.
Result<Forgetting> WhatCaseHolds(const std::string& case_folder, FileSystem& files = RealFileSystem());

// What the program keeps for this user outside the cases: frame tables, and the files of the indexes of cases
// with what SQLite keeps beside each.
Result<Forgetting> WhatUserHolds(const std::string& cache_folder, const std::vector<std::string>& indexes,
                                 FileSystem& files = RealFileSystem());

// The kept frame tables of the recordings that a case names, as far as these can be found.
Result<std::vector<KeptItem>> TablesOfCase(const std::string& case_folder, const std::string& cache_folder,
                                           FileSystem& files = RealFileSystem());

// Takes the items away for good, in order; what is gone already is no failure. On failure those before it are
// gone.
Status Forget(const std::vector<KeptItem>& items, FileSystem& files = RealFileSystem());

// The same for a case, under its lock, so that no program writes to it meanwhile (kUnwritable where one has
// it open; then nothing has changed). `outside` first takes away what lies elsewhere, and stops it all where
// that fails: the folder goes last, so that it can be asked for again. Then the folder ceases to be a case,
// in one step, so that a removal which is cut short leaves no part of one; that can be asked for again. The
// folder itself goes where nothing stays in it.
Status ForgetCase(const std::string& case_folder, const Forgetting& forgetting,
                  const std::function<Status()>& outside = {}, FileSystem& files = RealFileSystem());

// The index that is named (a file or an address; empty: DefaultIndexPath), and the user's own, which may know
// the same cases from before another was named.
std::vector<std::string> IndexesAtHand(const std::string& named);

// Takes the case out of an index; success where the index does not know it, or is not there. So go all cases
// that are no longer what the index knows of them, for they may be this one, from before its folder was
// renamed (returns how many; an index that is up to date has none); in a database, which other machines may
// use, only those whose folder would be in one that is here. kUnwritable, and the rows are gone from the
// tables, where another program keeps them in the log (CaseIndex::LeaveNoLog).
Result<int> ForgetInIndex(const std::string& index_path, const std::string& case_folder,
                          FileSystem& files = RealFileSystem());

}  // namespace afterscope
