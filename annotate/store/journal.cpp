// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/journal.hpp"

#include "annotate/media/digest.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <chrono>
#include <optional>
#include <random>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kDigestLength = 64;
// A line may hold a whole trail and its inverse.
constexpr JsonLimits kLineLimits{64LL << 20, 64, 4'000'000, 65536};

std::string RandomSalt() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", random(), random(), random(), random());
}

template <class Type>
std::optional<Type> Get(const Json& json, const char* name) {
  const auto found = json.find(name);
  if (found == json.end()) return std::nullopt;
  if constexpr (std::is_same_v<Type, std::string>) {
    if (!found->is_string()) return std::nullopt;
  } else {
    if (!found->is_number_integer()) return std::nullopt;
  }
  return found->template get<Type>();
}

struct ReadLine {
  JournalLine line;
  Json json;  // its text
};

// The line if it is whole and follows `last` (null: it is the first).
std::optional<ReadLine> LineFrom(std::string_view bytes, const JournalLine* last) {
  if (bytes.size() < kDigestLength + 2 || bytes[kDigestLength] != ' ') return std::nullopt;
  JournalLine line;
  line.digest = bytes.substr(0, kDigestLength);
  line.text = bytes.substr(kDigestLength + 1);
  if (Sha256Hex(line.text) != line.digest) return std::nullopt;
  Result<Json> json = ParseJson(line.text, "a line of the journal", kLineLimits);
  if (!json.ok() || !json->is_object()) return std::nullopt;
  const auto entry = Get<std::int64_t>(*json, "entry");
  const auto order = Get<std::int64_t>(*json, "order");
  const auto previous = Get<std::string>(*json, "previous");
  const auto kind = Get<std::string>(*json, "kind");
  if (!entry || !order || !previous || !kind || *entry > kMostEntry || *order > kMostEntry)
    return std::nullopt;
  if (last ? (*entry != last->entry + 1 || *previous != last->digest) : *kind != "begin") return std::nullopt;
  line.entry = *entry;
  line.order = *order;
  line.kind = *kind;
  return ReadLine{std::move(line), std::move(*json)};
}

}  // namespace

std::string UtcNow() {
  const auto now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::chrono::system_clock::to_time_t(now)));
}

JournalContent ReadJournal(std::string_view bytes,
                           const std::function<void(const JournalLine&, const Json&)>& each) {
  JournalContent content;
  std::string_view rest = bytes;
  while (!rest.empty()) {
    const auto end = rest.find('\n');
    if (end == std::string_view::npos) break;
    auto read = LineFrom(rest.substr(0, end), content.lines.empty() ? nullptr : &content.lines.back());
    if (!read) break;
    if (each) each(read->line, read->json);
    content.lines.push_back(std::move(read->line));
    rest.remove_prefix(end + 1);
  }
  content.good_bytes = static_cast<std::int64_t>(bytes.size() - rest.size());
  content.dropped_bytes = static_cast<std::int64_t>(rest.size());
  content.unfinished = !bytes.empty() && bytes.back() != '\n';
  content.dropped_lines =
      static_cast<int>(std::count(rest.begin(), rest.end(), '\n')) + (content.unfinished ? 1 : 0);
  return content;
}

JournalLine MakeJournalLine(std::int64_t entry, std::int64_t order, const std::string& previous,
                            const Json& members) {
  Json json{
      {"entry", entry}, {"order", order}, {"previous", previous}, {"salt", RandomSalt()}, {"time", UtcNow()}};
  json.update(members);
  JournalLine line{entry, order, members.at("kind").get<std::string>(), "", CompactText(json)};
  line.digest = Sha256Hex(line.text);
  return line;
}

Status CheckEntryNumbers(std::int64_t entry, std::int64_t order, const std::string& path) {
  if (entry <= kMostEntry && order <= kMostEntry) return {};
  return Error{ErrorCode::kUnwritable,
               fmt::format("Can't write '{}' any more: its entries have no numbers left to count on.", path)};
}

std::string TextMember(const Json& object, const char* name) {
  return Get<std::string>(object, name).value_or("");
}

std::string FileText(const JournalLine& line) { return fmt::format("{} {}\n", line.digest, line.text); }

JournalWriter::JournalWriter(FileSystem& files, std::string path, std::int64_t end, std::int64_t last_entry,
                             std::string last_digest)
    : files_(&files),
      path_(std::move(path)),
      end_(end),
      last_entry_(last_entry),
      last_digest_(std::move(last_digest)) {}

Status JournalWriter::Write(std::string_view bytes) {
  if (!file_) {
    AFTERSCOPE_ASSIGN(file_, files_->OpenAppend(path_));
  }
  AFTERSCOPE_TRY(file_->Append(bytes));
  return file_->Sync();
}

Status JournalWriter::Append(std::int64_t order, const Json& members) {
  if (broken_)
    return Error{
        ErrorCode::kUnwritable,
        fmt::format("Can't write '{}' any more after an earlier failure; close the case and open it again.",
                    path_)};
  AFTERSCOPE_TRY(CheckEntryNumbers(last_entry_ + 1, order, path_));
  const JournalLine line = MakeJournalLine(last_entry_ + 1, order, last_digest_, members);
  const std::string bytes = FileText(line);
  if (Status written = Write(bytes); !written.ok()) {
    // Never written to again through the descriptor that failed.
    file_.reset();
    broken_ = !files_->Truncate(path_, end_).ok();
    return written;
  }
  end_ += static_cast<std::int64_t>(bytes.size());
  last_entry_ = line.entry;
  last_digest_ = line.digest;
  return {};
}

}  // namespace afterscope
