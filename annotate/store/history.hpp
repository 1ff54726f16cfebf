// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/document.hpp"
#include "annotate/store/used_ids.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// What can be undone or redone: an entry of one of the two journals of a session.
struct Undoable {
  Document* document = nullptr;
  std::int64_t entry = 0;
};

// What was done in one review's session, over the case's journal and the review's.
class History {
 public:
  // From the journals, in the order of their entries; of the case's those of this review's sessions. Notes
  // the ids that were in use.
  void Rebuild(Document& record, Document& review, const ReviewId& id, UsedIds& ids);
  void Add(Undoable entry);
  // Forgets what lies in a document that is sealed.
  void Drop(const Document& document);

  // What is undone or redone next; null if nothing is.
  const Undoable* Next(bool redo) const;
  // Its label, empty if there is none.
  std::string Label(bool redo) const;
  // Notes that it was.
  void Move(bool redo);
  // Forgets it: it can't be.
  void PassOver(bool redo);

 private:
  std::vector<Undoable> done_;
  std::vector<Undoable> undone_;
};

}  // namespace afterscope
