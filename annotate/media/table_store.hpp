// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/table_data.hpp"
#include "annotate/platform/machine.hpp"
#include "annotate/store/file_system.hpp"

#include <memory>
#include <string>

namespace afterscope {

// What the name of a kept table ends with, after its key.
inline constexpr char kTableEnding[] = ".frames";

// What a kept table is found by: a SHA-256 over size, time of the last change, samples of the content, and
// the version of the decoder. Empty if the file can't be read.
std::string TableKey(const RegularFile& file);

// Verified frame tables, kept in a folder: numbers only, no name of a recording. A table that can't be kept
// or does not make sense is built again. Thread-compatible.
class TableStore {
 public:
  // `folder` empty: UserCacheFolder(); where there is none nothing is kept.
  TableStore(const std::string& folder, FileSystem& files);
  // Null: none is kept. What a program that ended left unfinished in the folder goes with it.
  std::shared_ptr<const TableData> Load(const std::string& key, const OpenedFile& file) const;
  void Save(const std::string& key, const TableData& data) const;

 private:
  std::string folder_;
  FileSystem& files_;
};

}  // namespace afterscope
