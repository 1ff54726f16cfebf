// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/history.hpp"

#include "annotate/store/old_scores.hpp"

#include <algorithm>

namespace afterscope {
namespace {

struct Event {
  DocumentEvent what;
  Document* document;
};

std::vector<Event> EventsInOrder(Document& record, Document& review, const ReviewId& id) {
  std::vector<Event> events;
  for (const DocumentEvent& event : record.events())
    if (event.review == id.value) events.push_back({event, &record});
  for (const DocumentEvent& event : review.events()) events.push_back({event, &review});
  std::stable_sort(events.begin(), events.end(),
                   [](const Event& a, const Event& b) { return a.what.order < b.what.order; });
  return events;
}

void Shift(std::vector<Undoable>& from, std::vector<Undoable>& to, Undoable entry) {
  std::erase_if(from,
                [&](const Undoable& u) { return u.document == entry.document && u.entry == entry.entry; });
  to.push_back(entry);
}

}  // namespace

void History::Rebuild(Document& record, Document& review, const ReviewId& id, UsedIds& ids) {
  done_.clear();
  undone_.clear();
  for (const Event& event : EventsInOrder(record, review, id)) {
    const bool is_edit = event.what.kind == "edits";
    const EditPair* pair = event.document->Edits(is_edit ? event.what.entry : event.what.of);
    if (pair && SetsOldScores(pair->group)) continue;
    if (is_edit) {
      if (pair) {
        ids.Note(pair->group);
        ids.Note(pair->inverse);
      }
      Add({event.document, event.what.entry});
    } else if (event.what.kind == "undo") {
      Shift(done_, undone_, {event.document, event.what.of});
    } else {
      Shift(undone_, done_, {event.document, event.what.of});
    }
  }
}

void History::Add(Undoable entry) {
  done_.push_back(entry);
  undone_.clear();
}

void History::Drop(const Document& document) {
  for (std::vector<Undoable>* stack : {&done_, &undone_})
    std::erase_if(*stack, [&](const Undoable& entry) { return entry.document == &document; });
}

const Undoable* History::Next(bool redo) const {
  const std::vector<Undoable>& stack = redo ? undone_ : done_;
  return stack.empty() ? nullptr : &stack.back();
}

std::string History::Label(bool redo) const {
  const Undoable* next = Next(redo);
  const EditPair* pair = next ? next->document->Edits(next->entry) : nullptr;
  if (!pair) return "";
  return pair->group.label.empty() ? "Change" : pair->group.label;
}

void History::Move(bool redo) {
  std::vector<Undoable>& from = redo ? undone_ : done_;
  (redo ? done_ : undone_).push_back(from.back());
  from.pop_back();
}

void History::PassOver(bool redo) { (redo ? undone_ : done_).pop_back(); }

}  // namespace afterscope
