// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub.hpp"

#include "annotate/case/text.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/scrub_clips.hpp"
#include "annotate/store/scrub_json.hpp"
#include "annotate/store/scrub_lists.hpp"
#include "annotate/store/vouching.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <random>
#include <set>

namespace afterscope {
namespace {

std::string NewSalt() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", random(), random(), random(), random());
}

struct ScrubbedJournal {
  std::string bytes;
  std::vector<std::int64_t> entries;  // that were changed
  std::string old_head;               // digest of the last entry before
  JournalLine last;
  bool changed = false;
};

// Names and digests of the sounds of those spoken remarks that hold the text in any of their states.
void CollectSpoken(const Json& json, const std::string& text, ScrubTexts& names) {
  if (!json.is_structured()) return;
  const auto fields = json.is_object() ? json.find("fields") : json.end();
  const auto sound = [&](const char* field) {
    return fields->contains(field) && (*fields)[field].is_string() ? (*fields)[field].get<std::string>() : "";
  };
  if (fields != json.end() && fields->is_object() && !sound("sound_file").empty()) {
    Json copy = json;
    if (ScrubJson(copy, {text}, false))
      for (const std::string& found : {sound("sound_file"), sound("sound_sha256")})
        if (found.size() > 1 && found != kPutInstead &&
            std::find(names.begin(), names.end(), found) == names.end())
          names.push_back(found);
  }
  for (const Json& inner : json) CollectSpoken(inner, text, names);
}

ScrubbedJournal ScrubJournal(const JournalContent& content, const ScrubTexts& texts) {
  ScrubbedJournal result;
  std::string head;
  for (const JournalLine& line : content.lines) {
    Json json = Json::parse(line.text);
    if (ScrubJson(json, texts, false)) {
      json["salt"] = NewSalt();
      result.entries.push_back(line.entry);
    }
    json["previous"] = head;
    JournalLine fresh = line;
    fresh.text = CompactText(json);
    fresh.digest = Sha256Hex(fresh.text);
    head = fresh.digest;
    result.bytes += FileText(fresh);
    result.old_head = line.digest;
    result.last = std::move(fresh);
  }
  return result;
}

struct Closing {
  std::int64_t order = 0;
  std::string by;  // empty: not said
};

// Closes a journal in which something was changed. `reviews`: the signed ones that are scrubbed with the
// case, each from which head to which.
void Close(ScrubbedJournal& journal, const Closing& closing, const Json& reviews) {
  if (journal.entries.empty() && reviews.empty()) return;
  Json members{{"kind", "scrub"}, {"previous_head", journal.old_head}, {"entries", journal.entries}};
  if (!closing.by.empty()) members["by"] = closing.by;
  if (!reviews.empty()) members["reviews"] = reviews;
  const JournalLine& last = journal.last;
  journal.last = MakeJournalLine(last.entry + 1, closing.order, last.digest, members);
  journal.bytes += FileText(journal.last);
  journal.changed = true;
}

bool IsFile(FileSystem& files, const std::string& path) {
  const auto info = files.Stat(path);
  return info.ok() && info->type == FileType::kRegular;
}

// One journal with what is to be written in its place.
struct Scrubbable {
  std::string folder;
  DocumentKind kind = DocumentKind::kCase;
  ScrubbedJournal journal;
};

Status RepairDocument(FileSystem& files, const Scrubbable& one) {
  Document document(files, one.kind, one.folder);
  AFTERSCOPE_ASSIGN(const Document::Found found, document.Load(false));
  if (found.read_only)
    return Error{ErrorCode::kUnwritable,
                 fmt::format("Can't scrub '{}': a newer version of this program wrote it; scrub with that.",
                             one.folder)};
  AFTERSCOPE_TRY(document.Repair());
  return document.SaveCheckpoint();
}

// The journals of a case that can be read. A torn or damaged end is dropped or put aside first, so that no
// text stays in it.
Result<std::vector<Scrubbable>> ReadableJournals(FileSystem& files, const std::string& case_folder,
                                                 const std::vector<std::string>& reviews) {
  std::vector<Scrubbable> journals{{case_folder, DocumentKind::kCase, {}}};
  AFTERSCOPE_TRY(RepairDocument(files, journals.front()));
  for (const std::string& name : reviews) {
    const Scrubbable review{case_folder + "/reviews/" + name, DocumentKind::kReview, {}};
    const Status repaired = RepairDocument(files, review);
    if (repaired.ok())
      journals.push_back(review);
    else if (repaired.error().code != ErrorCode::kUnreadable)
      return repaired.error();
  }
  return journals;
}

// `has_journal`: one that was scrubbed as such; the checkpoint beside it was made from it since, and its
// keys, ids and digests stay.
Status ScrubFolder(FileSystem& files, const std::string& folder, const ScrubTexts& texts, bool all_is_ours,
                   bool has_journal) {
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  for (const std::string& name : names) {
    const std::string path = fmt::format("{}/{}", folder, name);
    if (!IsFile(files, path)) continue;
    if (has_journal && (name == "journal" || name == "review.json")) continue;
    if (IsTemporaryName(name))
      AFTERSCOPE_TRY(files.Remove(path));
    else if (all_is_ours || IsPutAside(name))
      AFTERSCOPE_TRY(ScrubBytes(files, path, texts, kMostJournalBytes));
  }
  return {};
}

Status WriteScrubbed(FileSystem& files, const Scrubbable& one) {
  // The checkpoint is made anew from the journal; members that only it holds would carry the text on. It goes
  // first: beside the scrubbed journal it would look like one that was changed from outside.
  const std::string checkpoint =
      one.folder + (one.kind == DocumentKind::kCase ? "/case.json" : "/review.json");
  if (IsFile(files, checkpoint)) AFTERSCOPE_TRY(files.Remove(checkpoint));
  AFTERSCOPE_TRY(files.SyncFolder(one.folder));
  return one.journal.changed ? ReplaceFile(files, one.folder + "/journal", one.journal.bytes) : Status();
}

std::vector<std::string> FoldersIn(FileSystem& files, const std::string& folder) {
  std::vector<std::string> folders;
  const auto names = files.List(folder);
  if (!names.ok()) return folders;
  for (const std::string& name : *names) {
    const auto info = files.Stat(fmt::format("{}/{}", folder, name));
    if (info.ok() && info->type == FileType::kDirectory) folders.push_back(name);
  }
  return folders;
}

void CollectIdsOfJournal(FileSystem& files, const std::string& folder, std::set<std::string>& ids) {
  const auto bytes = files.ReadAll(folder + "/journal", kMostJournalBytes);
  if (!bytes.ok()) return;
  for (const JournalLine& line : ReadJournal(*bytes).lines) CollectIds(Json::parse(line.text), ids);
}

}  // namespace

Result<int> ScrubCase(FileSystem& files, const std::string& case_folder, const std::string& text,
                      const std::string& by) {
  if (text.size() < 2 || !IsCleanText(text) || Scrubbed(kPutInstead, text) != kPutInstead)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't scrub '{}': give a clean text of two or more bytes that is not "
                             "part of '{}'.",
                             text, kPutInstead)};
  const std::vector<std::string> reviews = FoldersIn(files, case_folder + "/reviews");
  AFTERSCOPE_ASSIGN(std::vector<Scrubbable> journals, ReadableJournals(files, case_folder, reviews));
  std::vector<JournalContent> contents;
  Closing closing;
  ScrubTexts texts{text};
  for (const Scrubbable& one : journals) {
    AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(one.folder + "/journal", kMostJournalBytes));
    contents.push_back(ReadJournal(bytes));
    for (const JournalLine& line : contents.back().lines) {
      CollectSpoken(Json::parse(line.text), text, texts);
      closing.order = std::max(closing.order, line.order + 1);
    }
  }
  if (ScrubbedOf(by, texts) == by) closing.by = by;
  int changed = 0;
  Json signed_reviews = Json::array();
  for (std::size_t i = 0; i < journals.size(); ++i) {
    Scrubbable& one = journals[i];
    one.journal = ScrubJournal(contents[i], texts);
    if (one.kind != DocumentKind::kReview) continue;
    Close(one.journal, closing, Json::array());
    if (!one.journal.entries.empty() && HasSigning(contents[i]))
      signed_reviews.push_back(VouchingJson(
          {one.folder.substr(one.folder.rfind('/') + 1), one.journal.old_head, one.journal.last.digest}));
  }
  Close(journals.front().journal, closing, signed_reviews);
  for (const Scrubbable& one : journals) {
    if (!Document::Replays(files, one.kind, one.journal.bytes))
      return Error{
          ErrorCode::kBadCall,
          fmt::format("Can't scrub '{}': it is part of the words that the record needs to be read.", text)};
    changed += static_cast<int>(one.journal.entries.size());
  }
  // The case's first: whatever becomes of the others, it vouches for what each of them is then.
  for (const Scrubbable& one : journals) AFTERSCOPE_TRY(WriteScrubbed(files, one));
  for (const Scrubbable& one : journals) AFTERSCOPE_TRY(RepairDocument(files, one));
  AFTERSCOPE_TRY(ScrubFolder(files, case_folder, texts, false, true));
  for (const std::string& name : reviews) {
    const std::string folder = fmt::format("{}/reviews/{}", case_folder, name);
    const bool readable = std::any_of(journals.begin(), journals.end(),
                                      [&](const Scrubbable& one) { return one.folder == folder; });
    AFTERSCOPE_TRY(ScrubFolder(files, folder, texts, true, readable));
  }
  AFTERSCOPE_TRY(ScrubLists(files, case_folder, text));
  AFTERSCOPE_TRY(ScrubClips(files, case_folder, text, changed > 0));
  // Made anew from the record at any time.
  AFTERSCOPE_TRY(RemoveTree(files, case_folder + "/report.pdf"));
  AFTERSCOPE_TRY(RemoveTree(files, case_folder + "/cache"));
  return changed;
}

std::vector<std::string> IdsThatHold(FileSystem& files, const std::string& case_folder,
                                     const std::string& text) {
  std::set<std::string> ids;
  CollectIdsOfJournal(files, case_folder, ids);
  for (const std::string& review : FoldersIn(files, case_folder + "/reviews")) {
    ids.insert(review);
    CollectIdsOfJournal(files, fmt::format("{}/reviews/{}", case_folder, review), ids);
  }
  CollectIdsOfLists(files, case_folder, ids);
  std::vector<std::string> held;
  std::copy_if(ids.begin(), ids.end(), std::back_inserter(held),
               [&](const std::string& id) { return !FindCaseless(id, text).empty(); });
  return held;
}

}  // namespace afterscope
