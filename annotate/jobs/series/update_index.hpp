// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

struct IndexUpdate {
  int cases = 0;  // in or under the folder
  int read = 0;   // that were new or had changed
  int removed = 0;
  std::vector<std::string> problems;  // of the cases that were read
};

// Brings the index up to date with the case folders in or under `folder` (at most four levels down): what is
// new or has changed is read, what is gone is taken out, the rest is left alone. Cases are kept some hundred
// at a time, so a stop loses little. kUnreadable where there is no such folder.
Result<IndexUpdate> UpdateIndex(CaseIndex& index, const std::string& folder, const Progress& progress,
                                const StopQuery& stop, FileSystem& files = RealFileSystem());

// The folder as the index names it: absolute, without links and trailing '/'.
Result<std::string> IndexedFolder(const std::string& folder);

// cases.sqlite in UserDataFolder(); empty where there is none.
std::string OwnIndexPath();

// What the environment variable AFTERSCOPE_INDEX says (a file, or an address "postgresql://..."), else
// OwnIndexPath().
std::string DefaultIndexPath();

// An index that is up to date with a folder.
struct CurrentIndex {
  std::unique_ptr<CaseIndex> index;
  std::string folder;  // as the index names it
  IndexUpdate update;
};
// Opens the index at `path` (a file or an address; empty: refused, the user has no home folder for it) and
// brings it up to date with `folder`.
Result<CurrentIndex> OpenCurrentIndex(const std::string& path, const std::string& folder,
                                      const Progress& progress, const StopQuery& stop);

}  // namespace afterscope
