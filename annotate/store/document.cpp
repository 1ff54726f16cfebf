// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/document.hpp"

#include "annotate/media/digest.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/edit_json.hpp"
#include "annotate/store/json_reader.hpp"
#include "annotate/store/review_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostFileBytes = 64LL << 20;

const char* FormatName(DocumentKind kind) {
  return kind == DocumentKind::kCase ? "afterscope case" : "afterscope review";
}

std::string ShortDigest(const std::string& text) { return Sha256Hex(text).substr(0, 16); }

// A free name "PATH-N".
std::string FreeName(FileSystem& files, const std::string& path) {
  for (int n = 1;; ++n) {
    std::string name = fmt::format("{}-{}", path, n);
    const auto info = files.Stat(name);
    if (!info.ok() || info->type == FileType::kAbsent) return name;
  }
}

// ID-DIGEST.json, as WriteTrails names them; anything else in the folder is not ours to remove.
bool IsTrailFileName(const std::string& name) {
  constexpr std::size_t kDigest = 16;
  const std::size_t tail = kDigest + std::string(".json").size();
  if (name.size() < tail + 2 || !name.ends_with(".json") || name[name.size() - tail - 1] != '-') return false;
  const std::string digest = name.substr(name.size() - tail, kDigest);
  return IsValidIdText(name.substr(0, name.size() - tail - 1)) &&
         digest.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

bool IsPutAside(const std::string& name) {
  return name.starts_with("journal.damaged-") || name.find(".json.set-aside-") != std::string::npos;
}

Document::Document(FileSystem& files, DocumentKind kind, std::string folder)
    : files_(files), kind_(kind), folder_(std::move(folder)) {}

std::string Document::CheckpointPath() const {
  return folder_ + (kind_ == DocumentKind::kCase ? "/case.json" : "/review.json");
}

std::string Document::Name() const { return fmt::format("'{}'", CheckpointPath()); }

bool Document::Exists(FileSystem& files, DocumentKind kind, const std::string& folder) {
  const Document document(files, kind, folder);
  for (const std::string& path : {document.JournalPath(), document.CheckpointPath()}) {
    const auto info = files.Stat(path);
    if (info.ok() && info->type == FileType::kRegular) return true;
  }
  return false;
}

bool Document::Replays(FileSystem& files, DocumentKind kind, const std::string& journal_bytes) {
  Document document(files, kind, "");
  Replay replay;
  const JournalContent content = document.ReplayJournal(journal_bytes, replay);
  return content.dropped_bytes == 0 && replay.good_lines == content.lines.size();
}

const EditPair* Document::Edits(std::int64_t entry) const {
  const auto found = edits_.find(entry);
  return found == edits_.end() ? nullptr : &found->second;
}

Json Document::StateJson() const {
  return kind_ == DocumentKind::kCase ? JsonFrom(state_.record) : JsonFrom(state_.review);
}

Result<DocumentState> Document::StateFrom(const Json& json, const std::string& what) const {
  DocumentState state;
  if (kind_ == DocumentKind::kCase) {
    AFTERSCOPE_ASSIGN(state.record, CaseRecordFrom(json, what));
  } else {
    AFTERSCOPE_ASSIGN(state.review, ReviewFrom(json, what));
  }
  return state;
}

bool Document::Apply(const EditGroup& group) {
  return ReapplyEdits(group, state_.record, state_.review).ok();
}

// False where the line can't be carried out; `unknown` then says that this version may just not know it.
bool Document::ReplayLine(const JournalLine& line, const Json& json, bool& unknown) {
  const auto of = json.contains("of") && json["of"].is_number_integer() ? json["of"].get<std::int64_t>() : 0;
  const std::string review = TextMember(json, "review");
  if (line.kind == "begin") {
    unknown = MajorOf(TextMember(json, "version")) > kFormatMajor;
    if (unknown || !json.contains("state")) return false;
    auto state = StateFrom(json["state"], Name());
    if (!state.ok()) return false;
    state_ = std::move(*state);
    begun_at_ = TextMember(json, "time");
    recovered_from_ = TextMember(json, "recovered");
    return true;
  }
  if (line.kind == "edits" || line.kind == "facts") {
    if (!json.contains("edits") || !json.contains("inverse")) return false;
    auto group = EditsFrom(json["edits"], Name());
    auto inverse = EditsFrom(json["inverse"], Name());
    unknown = !group.ok() || !inverse.ok();
    const std::string label = TextMember(json, "label");
    if (unknown || !Apply({label, *group})) return false;
    edits_[line.entry] = {{label, std::move(*group)}, {label, std::move(*inverse)}};
  } else if (line.kind == "undo" || line.kind == "redo") {
    const EditPair* pair = Edits(of);
    if (!pair || !Apply(line.kind == "undo" ? pair->inverse : pair->group)) return false;
  } else if (line.kind != "scrub") {
    unknown = true;
    return false;
  }
  if (line.kind != "facts" && line.kind != "scrub")
    events_.push_back({line.order, line.entry, line.kind, of, review});
  return true;
}

JournalContent Document::ReplayJournal(const std::string& bytes, Replay& replay) {
  bool stopped = false;
  return ReadJournal(bytes, [&](const JournalLine& line, const Json& json) {
    stopped = stopped || !ReplayLine(line, json, replay.unknown);
    if (stopped) return;
    last_order_ = std::max(last_order_, line.order);
    ++replay.good_lines;
  });
}

// Trails lie in files of their own: puts their points back.
Status Document::AddTrailPoints(Json& json) {
  if (!json.contains("trails") || !json["trails"].is_array()) return {};
  for (Json& trail : json["trails"]) {
    std::string problem;
    std::string file;
    std::string digest;
    JsonReader reader(trail, "a trail", problem);
    reader.Read("points_file", file);
    reader.Read("points_digest", digest);
    const bool plain = file.starts_with("trails/") && file.find("..") == std::string::npos;
    if (!plain)
      return Error{ErrorCode::kUnreadable, fmt::format("Can't read {}: a trail has no file.", Name())};
    AFTERSCOPE_ASSIGN(const std::string text, files_.ReadAll(folder_ + "/" + file, kMostFileBytes));
    if (Sha256Hex(text) != digest)
      return Error{ErrorCode::kUnreadable, fmt::format("'{}/{}' is damaged.", folder_, file)};
    AFTERSCOPE_ASSIGN(trail["points"], ParseJson(text, file));
  }
  return {};
}

std::optional<DocumentState> Document::ReadCheckpoint(Found& found) {
  const auto info = files_.Stat(CheckpointPath());
  if (info.ok() && info->type == FileType::kAbsent) return std::nullopt;
  const auto unusable = [&](const std::string& why) {
    found.cautions.push_back(why);
    checkpoint_changed_outside_ = true;
    checkpoint_ = {};
    checkpoint_json_ = Json::object();
    return std::nullopt;
  };
  const auto text = files_.ReadAll(CheckpointPath(), kMostFileBytes);
  if (!text.ok()) return unusable(text.error().message);
  auto content = CheckpointFrom(*text, Name());
  if (!content.ok()) return unusable(content.error().message);
  if (!content->whole)
    return unusable(fmt::format(
        "{} was damaged, or changed by something other than this program; it is not used.", Name()));
  checkpoint_ = content->checkpoint;
  checkpoint_json_ = content->json;
  if (MajorOf(checkpoint_.version) > kFormatMajor) {
    found.read_only = true;
    found.cautions.push_back(
        fmt::format("{} was written by a newer version of this program (format {}); it is opened "
                    "read-only, and what this version does not know is not shown.",
                    Name(), checkpoint_.version));
  }
  Json json = content->json;
  if (const Status points = AddTrailPoints(json); !points.ok()) return unusable(points.error().message);
  auto state = StateFrom(json, Name());
  if (!state.ok()) return unusable(state.error().message);
  return std::move(*state);
}

Result<Document::Found> Document::Load(bool being_written) {
  Found found;
  // The checkpoint first: while another program writes, the journal then contains at least what the
  // checkpoint does.
  std::optional<DocumentState> checkpoint = ReadCheckpoint(found);
  std::string bytes;
  if (const auto info = files_.Stat(JournalPath()); info.ok() && info->type != FileType::kAbsent) {
    auto read = files_.ReadAll(JournalPath(), kMostJournalBytes);
    if (read.ok())
      bytes = std::move(*read);
    else
      found.cautions.push_back(read.error().message);
  }
  Replay replay;
  const JournalContent content = ReplayJournal(bytes, replay);
  if (replay.good_lines == 0 && !checkpoint) {
    const std::string why =
        found.cautions.empty() ? "its journal has no readable start" : found.cautions.front();
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't open '{}': {}{}", folder_, why, why.ends_with('.') ? "" : ".")};
  }
  const bool mid_write = being_written && content.unfinished && content.dropped_lines == 1;
  found.dropped_bytes = mid_write ? 0 : content.dropped_bytes;
  Choose(content, replay, std::move(checkpoint), found);
  return found;
}

// A checkpoint whose entry the journal has must belong to that entry and, where it is the last one, say the
// same.
void Document::CompareCheckpoint(const JournalContent& content, const DocumentState& checkpoint,
                                 Found& found) {
  const auto same = std::find_if(content.lines.begin(), content.lines.end(), [&](const JournalLine& line) {
    return line.entry == checkpoint_.last_entry;
  });
  if (same == content.lines.end()) return;
  const bool other_history = same->digest != checkpoint_.last_digest;
  if (!other_history && (&*same != &content.lines.back() || checkpoint == state_)) return;
  found.cautions.push_back(
      other_history
          ? fmt::format("{} belongs to another history than its journal; the journal is used.", Name())
          : fmt::format("{} says something else than its journal; the journal is used.", Name()));
  checkpoint_changed_outside_ = true;
  checkpoint_ = {};
}

// Decides which of journal and checkpoint is the state, and what Repair has to do.
void Document::Choose(const JournalContent& content, const Replay& replay,
                      std::optional<DocumentState> checkpoint, Found& found) {
  const bool all = replay.good_lines == content.lines.size();
  const JournalLine* last = replay.good_lines > 0 ? &content.lines[replay.good_lines - 1] : nullptr;
  const std::int64_t last_entry = last ? last->entry : 0;
  if (replay.unknown) {
    found.read_only = true;
    found.cautions.push_back(
        fmt::format("The journal of {} holds what this version of the program does not know; it is "
                    "opened read-only.",
                    Name()));
  }
  // The journal is the truth; the checkpoint is used only where it is known to contain more than can be read
  // of it.
  const bool use_checkpoint = checkpoint && (!last || checkpoint_.last_entry > last_entry);
  if (use_checkpoint) {
    state_ = std::move(*checkpoint);
    events_.clear();
    edits_.clear();
    found.cautions.push_back(fmt::format(
        "The journal of {} ends at entry {}, its checkpoint contains entry {}: the checkpoint is used, "
        "earlier changes can't be undone.",
        Name(), last_entry, checkpoint_.last_entry));
  }
  const bool only_tail = all && content.dropped_lines <= 1;
  if (found.dropped_bytes > 0 && !replay.unknown)
    found.cautions.push_back(
        only_tail && !use_checkpoint
            ? fmt::format(
                  "The journal of {} ended in {} bytes of an entry that is not whole; they were dropped.",
                  Name(), content.dropped_bytes)
            : fmt::format("The journal of {} is damaged after entry {}; {} bytes ({} lines) after it could "
                          "not be used. "
                          "The journal is kept beside the new one.",
                          Name(), last_entry, content.dropped_bytes, content.dropped_lines));
  if (last && checkpoint && !use_checkpoint) CompareCheckpoint(content, *checkpoint, found);
  if (use_checkpoint || !all || (content.dropped_bytes > 0 && !(only_tail && content.unfinished))) {
    recovered_ = use_checkpoint ? fmt::format("checkpoint, entry {}", checkpoint_.last_entry)
                                : fmt::format("journal, entry {}", last_entry);
    recovered_entry_ = std::max(last_entry, checkpoint_.last_entry) + 1;
  }
  tail_to_drop_ = content.dropped_bytes > 0;
  good_bytes_ = content.good_bytes;
  journal_ = JournalWriter(files_, JournalPath(), good_bytes_, last_entry, last ? last->digest : "");
}

Status Document::PutJournalAside() {
  const auto info = files_.Stat(JournalPath());
  if (info.ok() && info->type == FileType::kAbsent) return {};
  AFTERSCOPE_ASSIGN(const std::string bytes, files_.ReadAll(JournalPath(), kMostJournalBytes));
  return ReplaceFile(files_, FreeName(files_, JournalPath() + ".damaged"), bytes);
}

Status Document::WriteBegin(std::int64_t entry, std::int64_t order, const std::string& recovered) {
  AFTERSCOPE_TRY(CheckEntryNumbers(entry, order, JournalPath()));
  Json members{{"kind", "begin"},
               {"format", fmt::format("{} journal", FormatName(kind_))},
               {"version", std::string(kFormatVersion)}};
  if (!recovered.empty()) members["recovered"] = recovered;
  members["state"] = StateJson();
  const JournalLine line = MakeJournalLine(entry, order, "", members);
  const std::string text = FileText(line);
  AFTERSCOPE_TRY(ReplaceFile(files_, JournalPath(), text));
  journal_ = JournalWriter(files_, JournalPath(), static_cast<std::int64_t>(text.size()), entry, line.digest);
  last_order_ = std::max(last_order_, order);
  return {};
}

// Whatever someone wrote into it by hand is not lost.
Status Document::PutCheckpointAside() {
  if (!checkpoint_changed_outside_) return {};
  if (const auto text = files_.ReadAll(CheckpointPath(), kMostFileBytes); text.ok())
    AFTERSCOPE_TRY(ReplaceFile(files_, FreeName(files_, CheckpointPath() + ".set-aside"), *text));
  checkpoint_changed_outside_ = false;
  checkpoint_ = {};
  return {};
}

Status Document::Repair() {
  if (!recovered_.empty()) {
    AFTERSCOPE_TRY(PutJournalAside());
    AFTERSCOPE_TRY(WriteBegin(recovered_entry_, last_order_ + 1, recovered_));
    events_.clear();
    edits_.clear();
    recovered_from_ = std::exchange(recovered_, "");
  } else if (tail_to_drop_) {
    AFTERSCOPE_TRY(files_.Truncate(JournalPath(), good_bytes_));
  }
  tail_to_drop_ = false;
  return {};
}

Status Document::Begin(const DocumentState& state, std::int64_t order) {
  state_ = state;
  AFTERSCOPE_TRY(WriteBegin(1, order, ""));
  return SaveCheckpoint();
}

void Document::AddContext(const EditContext& context, Json& members) const {
  if (kind_ == DocumentKind::kCase) members["review"] = context.review;
  if (!context.by.empty()) members["by"] = context.by;
}

Status Document::AppendEdits(std::int64_t order, const EditPair& edits, bool facts,
                             const EditContext& context) {
  Json members{{"kind", facts ? "facts" : "edits"},
               {"label", edits.group.label},
               {"edits", JsonFrom(edits.group.edits)},
               {"inverse", JsonFrom(edits.inverse.edits)}};
  AddContext(context, members);
  AFTERSCOPE_TRY(journal_.Append(order, members));
  last_order_ = order;
  edits_[journal_.last_entry()] = edits;
  if (!facts) events_.push_back({order, journal_.last_entry(), "edits", 0, context.review});
  return {};
}

Status Document::AppendUndo(std::int64_t order, bool redo, std::int64_t of, const EditContext& context) {
  Json members{{"kind", redo ? "redo" : "undo"}, {"of", of}};
  AddContext(context, members);
  AFTERSCOPE_TRY(journal_.Append(order, members));
  last_order_ = order;
  events_.push_back({order, journal_.last_entry(), redo ? "redo" : "undo", of, context.review});
  return {};
}

// Writes the points of each trail into a file named by its digest, so that the old checkpoint stays whole
// until the new one has taken its place.
Status Document::WriteTrails(Json& state) {
  if (kind_ != DocumentKind::kReview || state["trails"].empty()) return {};
  AFTERSCOPE_TRY(MakeFolders(files_, folder_ + "/trails"));
  for (Json& trail : state["trails"]) {
    const std::string text = ReadableText(trail["points"]);
    const std::string file =
        fmt::format("trails/{}-{}.json", trail["id"].get<std::string>(), ShortDigest(text));
    const std::string path = fmt::format("{}/{}", folder_, file);
    AFTERSCOPE_ASSIGN(const FileInfo info, files_.Stat(path));
    if (info.type != FileType::kRegular || info.size != static_cast<std::int64_t>(text.size()))
      AFTERSCOPE_TRY(ReplaceFile(files_, path, text));
    trail.erase("points");
    trail["points_file"] = file;
    trail["points_digest"] = Sha256Hex(text);
  }
  return {};
}

void Document::RemoveOldTrails(const Json& state) {
  if (kind_ != DocumentKind::kReview) return;
  std::set<std::string> used;
  for (const Json& trail : state["trails"]) used.insert(trail["points_file"].get<std::string>());
  const auto names = files_.List(folder_ + "/trails");
  if (!names.ok()) return;
  for (const std::string& name : *names)
    if (IsTrailFileName(name) && !used.contains("trails/" + name))
      static_cast<void>(files_.Remove(folder_ + "/trails/" + name));
}

Status Document::SaveCheckpoint() {
  AFTERSCOPE_TRY(PutCheckpointAside());
  if (checkpoint_.last_entry == journal_.last_entry() && checkpoint_.last_digest == journal_.last_digest())
    return {};
  Checkpoint next{FormatName(kind_), std::string(kFormatVersion), journal_.last_entry(),
                  journal_.last_digest()};
  // A newer minor version's members are kept, and so is its number.
  if (MajorOf(checkpoint_.version) == kFormatMajor && checkpoint_.version.size() >= next.version.size() &&
      checkpoint_.version > next.version)
    next.version = checkpoint_.version;
  Json state = StateJson();
  AFTERSCOPE_TRY(WriteTrails(state));
  const std::string text = CheckpointText(next, state, checkpoint_json_);
  AFTERSCOPE_TRY(ReplaceFile(files_, CheckpointPath(), text));
  checkpoint_ = next;
  RemoveOldTrails(state);
  return {};
}

}  // namespace afterscope
