// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/used_ids.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

template <class Item>
void NoteId(const Edit& edit, std::set<std::string>& used) {
  if (const auto* put = std::get_if<Put<Item>>(&edit)) used.insert(put->item.id.value);
}

}  // namespace

void UsedIds::Note(const EditGroup& group) {
  for (const Edit& edit : group.edits) {
    NoteId<StepVisit>(edit, used_);
    NoteId<Moment>(edit, used_);
    NoteId<Mark>(edit, used_);
    NoteId<Trail>(edit, used_);
    NoteId<ScaleDef>(edit, used_);
    NoteId<Caption>(edit, used_);
    NoteId<Draft>(edit, used_);
  }
}

void UsedIds::Note(const Review& review) {
  const auto note = [&](const auto& items) {
    for (const auto& item : items) used_.insert(item.id.value);
  };
  note(review.visits);
  note(review.moments);
  note(review.marks);
  note(review.trails);
  note(review.scales);
  note(review.captions);
  note(review.drafts);
}

std::string UsedIds::Fresh(char letter) {
  for (;;) {
    std::string id = fmt::format("{}{}", letter, ++counts_[static_cast<unsigned char>(letter) % 32]);
    if (used_.insert(id).second) return id;
  }
}

}  // namespace afterscope
