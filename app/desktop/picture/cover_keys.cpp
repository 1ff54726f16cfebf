// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/cover_keys.hpp"

#include "app/desktop/desk/cover_edits.hpp"
#include "app/desktop/look/clock_text.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

std::optional<MarkId> ChosenMark(const PictureState& picture) {
  const auto* mark = picture.chosen ? std::get_if<MarkId>(&picture.chosen->of) : nullptr;
  return mark == nullptr ? std::nullopt : std::optional(*mark);
}

// The boundary after that frame: the next frame, or the end of its recording.
FrameRef After(const Tables& tables, FrameRef at) {
  const FrameRef next = StepFrames(tables, at, 1);
  if (next.recording == at.recording && next != at) return next;
  const auto i = static_cast<std::size_t>(at.recording);
  return i < tables.size() && tables[i] && !tables[i]->empty() ? FrameRef{at.recording, tables[i]->end()}
                                                               : next;
}

using CoverEdit = std::function<Result<EditGroup>(const Review&, const MarkId&)>;

// What an action does to a cover; null for any other action.
CoverEdit EditOf(const std::string& action, const Scene& scene, FrameRef at) {
  const auto recordings = scene.reel.Known(scene.view.record.recordings);
  if (action == "cover from here")
    return [=](const Review& review, const MarkId& id) { return CoverFrom(review, recordings, id, at); };
  if (action == "cover to here")
    return [=, end = After(scene.tables, at)](const Review& review, const MarkId& id) {
      return CoverUntil(review, recordings, id, end);
    };
  if (action == "cover throughout") return CoverThroughout;
  if (action == "cover shape") return NextCoverShape;
  return {};
}

}  // namespace

bool DoCover(const std::string& action, const PictureState& picture, const Scene& scene, EditQueue& edits) {
  const FrameRef at = scene.player.playhead();
  if (action == "cover all but eye") {
    edits.Push([at](CaseSession& session) {
      return CoverAllButEye(session.record(), session.review(), at,
                            [&session] { return session.NewMarkId(); });
    });
    return true;
  }
  const CoverEdit edit = EditOf(action, scene, at);
  if (!edit) return false;
  edits.Push([edit, at, chosen = ChosenMark(picture)](CaseSession& session) -> Result<EditGroup> {
    const auto meant = CoverMeant(session.review(), chosen, at);
    if (!meant) return Error{ErrorCode::kBadCall, "There is no cover yet; draw one on the picture first."};
    return edit(session.review(), *meant);
  });
  return true;
}

std::string CoverWords(const Mark& cover, const Scene& scene) {
  const auto range = RangeOfCover(cover);
  if (!range) return "the whole recording";
  return fmt::format("from {} to {}", ClockText(scene.Seconds(range->start), 1),
                     ClockText(scene.Seconds(range->end), 1));
}

}  // namespace afterscope
