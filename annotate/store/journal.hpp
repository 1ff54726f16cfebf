// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// Higher numbers of an entry, or of its order, are refused where they are read, and never written.
constexpr std::int64_t kMostEntry = std::int64_t{1} << 60;
// A longer journal is not read.
constexpr std::int64_t kMostJournalBytes = std::int64_t{1} << 30;

// One line of a journal; FORMAT.md lists the members of `text`, which is JSON.
struct JournalLine {
  std::int64_t entry = 0;
  std::int64_t order = 0;
  std::string kind;
  std::string digest;  // SHA-256 of the text
  std::string text;
};

// What could be read of a journal: the chain from its start as far as it is whole.
struct JournalContent {
  std::vector<JournalLine> lines;
  std::int64_t good_bytes = 0;
  std::int64_t dropped_bytes = 0;  // what follows them and is not part of the chain
  int dropped_lines = 0;           // begun lines in it
  bool unfinished = false;         // the file does not end with a line feed
};

// `each` is called with each of these lines in turn, and with its text as it was read.
JournalContent ReadJournal(std::string_view bytes,
                           const std::function<void(const JournalLine&, const Json&)>& each = {});

// The journal line for `members` ("kind" and what belongs to it) after the entry with digest `previous`.
JournalLine MakeJournalLine(std::int64_t entry, std::int64_t order, const std::string& previous,
                            const Json& members);

// kUnwritable where a reader would refuse the entry's numbers: a stranger's journal can be at their end.
Status CheckEntryNumbers(std::int64_t entry, std::int64_t order, const std::string& path);

// Now, as journals write it: YYYY-MM-DDThh:mm:ssZ.
std::string UtcNow();

// A member of a line's JSON that is a text; empty where there is none, or it is something else.
std::string TextMember(const Json& object, const char* name);

// The form of a line in the file.
std::string FileText(const JournalLine& line);

// Appends to a journal whose whole content is known.
class JournalWriter {
 public:
  JournalWriter() = default;
  // `end`: bytes of the good lines; `last`: number and digest of the last one.
  JournalWriter(FileSystem& files, std::string path, std::int64_t end, std::int64_t last_entry,
                std::string last_digest);

  std::int64_t last_entry() const { return last_entry_; }
  const std::string& last_digest() const { return last_digest_; }
  // Durable when it returns success. On failure the file is as it was; where even that fails, every later
  // append fails.
  Status Append(std::int64_t order, const Json& members);

 private:
  Status Write(std::string_view bytes);

  FileSystem* files_ = nullptr;
  std::string path_;
  std::unique_ptr<WritableFile> file_;
  std::int64_t end_ = 0;
  std::int64_t last_entry_ = 0;
  std::string last_digest_;
  bool broken_ = false;
};

}  // namespace afterscope
