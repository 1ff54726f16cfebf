// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/desk/mark_edits.hpp"

#include <fmt/format.h>

namespace afterscope {

bool App::DoMarks(const std::string& action) {
  if (action == "copy marks") {
    copied_marks_.clear();
    for (const Mark& mark : view_->review.marks)
      if (mark.at == player_.playhead()) copied_marks_.push_back(mark);
    Say(copied_marks_.empty() ? std::string("There is no mark on this frame.")
                              : fmt::format("{} marks taken along: {} puts them on another frame.",
                                            copied_marks_.size(), keys_.KeyFor("paste marks")),
        false);
    return true;
  }
  if (action != "paste marks") return false;
  if (copied_marks_.empty() || !desk_) {
    Say("No marks were taken along; go to a frame that has some first.", false);
    return true;
  }
  desk_->Push([marks = copied_marks_, to = player_.playhead()](CaseSession& session) {
    return CopyMarks(session.review(), marks, to, [&session] { return session.NewMarkId(); });
  });
  return true;
}

void App::AskLabel(PointPx at) {
  Ask(ask_, "Words on the picture", "a few words", "",
      [this, at, frame = player_.playhead()](const std::string& words) {
        if (words.empty()) return;
        desk_->Push([=](CaseSession& session) {
          return AddLabel(frame, at, words, [&session] { return session.NewMarkId(); });
        });
      });
}

}  // namespace afterscope
