// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/store/checkpoint.hpp"
#include "annotate/store/file_system.hpp"
#include "annotate/store/journal.hpp"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// One journal with its checkpoint: the case record's, or a review's. Only the member of State that belongs to
// its kind is used.
enum class DocumentKind { kCase, kReview };

struct DocumentState {
  CaseRecord record;
  Review review;
  friend bool operator==(const DocumentState&, const DocumentState&) = default;
};

// An entry that undo and redo speak of.
struct DocumentEvent {
  std::int64_t order = 0;
  std::int64_t entry = 0;
  std::string kind;     // "edits", "undo", "redo"
  std::int64_t of = 0;  // undo, redo
  std::string review;   // in whose session, where the journal is the case's
};

struct EditPair {
  EditGroup group;
  EditGroup inverse;
};

// In which review's session something is changed (noted where the journal is the case's), and by whom (a
// code; empty: not said).
struct EditContext {
  std::string review;
  std::string by;
};

// Whether a file of a case or review is what Repair or SaveCheckpoint put aside: it was damaged, or changed
// by something other than this program.
bool IsPutAside(const std::string& name);

class Document {
 public:
  struct Found {
    bool read_only = false;  // it comes from a newer version, or holds what this one doesn't know
    std::vector<std::string> cautions;
    std::int64_t dropped_bytes = 0;
  };

  Document(FileSystem& files, DocumentKind kind, std::string folder);

  // Whether there is anything to load in the folder.
  static bool Exists(FileSystem& files, DocumentKind kind, const std::string& folder);
  // Whether a journal can be read and carried out from its first to its last byte.
  static bool Replays(FileSystem& files, DocumentKind kind, const std::string& journal_bytes);
  // Reads journal and checkpoint; writes nothing. kUnreadable where neither gives a state. `being_written`:
  // another program may be in the middle of appending, so an unfinished last line is no news.
  Result<Found> Load(bool being_written);
  // Brings the journal in order after Load: drops a torn tail, puts a damaged one aside and begins a new one.
  Status Repair();
  // Starts a new one (the folder must exist): its journal, then its checkpoint.
  Status Begin(const DocumentState& state, std::int64_t order);

  const DocumentState& state() const { return state_; }
  DocumentState& state() { return state_; }
  const std::vector<DocumentEvent>& events() const { return events_; }
  const EditPair* Edits(std::int64_t entry) const;
  std::int64_t last_order() const { return last_order_; }
  // When its journal was begun (UTC, YYYY-MM-DDThh:mm:ssZ); empty: there is no journal.
  const std::string& begun_at() const { return begun_at_; }
  std::int64_t last_entry() const { return journal_.last_entry(); }
  const std::string& last_digest() const { return journal_.last_digest(); }
  // Where a damaged journal was replaced, from what; then the history before it is lost.
  const std::string& recovered_from() const { return recovered_from_; }

  // Journals what has been applied to the state.
  Status AppendEdits(std::int64_t order, const EditPair& edits, bool facts, const EditContext& context);
  Status AppendUndo(std::int64_t order, bool redo, std::int64_t of, const EditContext& context);
  // Writes the checkpoint if it does not contain the last entry; one that was changed by hand is put aside
  // first.
  Status SaveCheckpoint();
  std::int64_t entries_since_checkpoint() const { return journal_.last_entry() - checkpoint_.last_entry; }

 private:
  struct Replay {
    std::size_t good_lines = 0;
    bool unknown = false;  // stopped at something that this version does not know
  };

  std::string JournalPath() const { return folder_ + "/journal"; }
  std::string CheckpointPath() const;
  std::string Name() const;  // for sentences
  std::optional<DocumentState> ReadCheckpoint(Found& found);
  Status AddTrailPoints(Json& json);
  Result<DocumentState> StateFrom(const Json& json, const std::string& what) const;
  Json StateJson() const;
  // Carries out the lines until one can't be.
  JournalContent ReplayJournal(const std::string& bytes, Replay& replay);
  bool ReplayLine(const JournalLine& line, const Json& json, bool& unknown);
  bool Apply(const EditGroup& group);
  void Choose(const JournalContent& content, const Replay& replay, std::optional<DocumentState> checkpoint,
              Found& found);
  void CompareCheckpoint(const JournalContent& content, const DocumentState& checkpoint, Found& found);
  void AddContext(const EditContext& context, Json& members) const;
  Status PutJournalAside();
  Status PutCheckpointAside();
  Status WriteBegin(std::int64_t entry, std::int64_t order, const std::string& recovered);
  Status WriteTrails(Json& state);
  void RemoveOldTrails(const Json& state);

  FileSystem& files_;
  DocumentKind kind_;
  std::string folder_;
  DocumentState state_;
  std::vector<DocumentEvent> events_;
  std::map<std::int64_t, EditPair> edits_;
  std::int64_t last_order_ = 0;
  std::string begun_at_;
  JournalWriter journal_;
  Checkpoint checkpoint_;
  Json checkpoint_json_;
  bool checkpoint_changed_outside_ = false;
  std::string recovered_from_;
  // What Repair has to do.
  bool tail_to_drop_ = false;
  std::int64_t good_bytes_ = 0;
  std::string recovered_;  // not empty: a new journal is to begin, recovered from this
  std::int64_t recovered_entry_ = 0;
};

}  // namespace afterscope
