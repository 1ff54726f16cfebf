// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_sheet.hpp"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kNoteSeconds = 3;
constexpr double kLeastArrow = 0.01;  // of the picture's width; shorter: words alone
constexpr double kWheel = 1.15;       // nearer with each notch

}  // namespace

std::optional<ShownPicture> ClipSheet::PictureOfPart(const Scene& scene, const ClipPart& part) const {
  const auto& recordings = scene.view.record.recordings;
  const auto number = static_cast<std::size_t>(std::max(0, part.start.recording));
  if (part.kind == ClipPartKind::kTitle || part.case_folder != keeper_.NameOf(folder_) ||
      number >= recordings.size())
    return std::nullopt;
  const RecordingShape& shape = recordings[number].shape;
  return ShownPicture::Of(shape.width, shape.height, shape.pixel_aspect, shape.rotation_deg);
}

void ClipSheet::DragView(const ScreenRect& frame) {
  const ImGuiIO& io = ImGui::GetIO();
  if (ImGui::IsItemActive() && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0))
    ChangeView(
        [&](const ClipView& view) {
          return MovedView(view, -io.MouseDelta.x / frame.Width(), -io.MouseDelta.y / frame.Height());
        },
        std::exchange(dragged_, true));
  if (!ImGui::IsItemHovered() || io.MouseWheel == 0) return;
  // About the place under the pointer, taking the picture to fill the frame.
  const double x = (io.MousePos.x - frame.left) / frame.Width() - 0.5;
  const double y = (io.MousePos.y - frame.top) / frame.Height() - 0.5;
  ChangeView([&](const ClipView& view) {
    return ZoomedView(view, std::pow(kWheel, io.MouseWheel), view.x + x / view.zoom, view.y + y / view.zoom);
  });
}

// The place of the picture under the pointer; empty beside it.
std::optional<PictureShare> ClipSheet::PointedAt(const ShownPicture& size, const ClipPart& part,
                                                 const Scene& scene, const ScreenRect& frame) const {
  const double length =
      std::max(1e-3, part.kind == ClipPartKind::kStretch ? PartSeconds(part, scene.clock) : part.seconds);
  const ClipView view = ViewBetween(part.view, part.view_at_end, Eased(preview_.shown().into_part / length));
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  return ShareAt(mouse.x, mouse.y, frame, view, size, keeper_.plan().width, keeper_.plan().height);
}

// From where the button went down to where it is let go.
void ClipSheet::PointArrow(const Scene& scene, const ScreenRect& frame) {
  const ClipPlan& plan = keeper_.plan();
  const PreviewShown shown = preview_.shown();
  if (shown.part >= plan.parts.size()) return;
  const ClipPart& part = plan.parts[shown.part];
  const auto size = PictureOfPart(scene, part);
  if (!size) {
    if (ImGui::IsItemActivated()) calls_.say("An arrow goes on a picture of the case that is open.", true);
    return;
  }
  const auto at = PointedAt(*size, part, scene, frame);
  if (ImGui::IsItemActivated()) arrow_from_ = at;
  if (arrow_from_ && ImGui::IsItemActive()) {
    const ImVec2 from = ImGui::GetIO().MouseClickedPos[0];
    ImGui::GetWindowDrawList()->AddLine(from, ImGui::GetIO().MousePos, Ink(scene.look.colours.focus),
                                        scene.look.Px(2));
  }
  if (!ImGui::IsItemDeactivated() || !arrow_from_ || !at) return;
  const bool arrow = std::hypot(at->x - arrow_from_->x, at->y - arrow_from_->y) > kLeastArrow;
  const PictureShare to = arrow ? *at : *arrow_from_;
  ClipNote note{
      arrow_from_->x, arrow_from_->y, to.x, to.y, {}, shown.into_part, shown.into_part + kNoteSeconds};
  arrow_from_.reset();
  arrow_ = false;
  calls_.ask(arrow ? "Words at the arrow" : "Words on the picture", arrow ? "empty: the arrow alone" : "", "",
             [this, index = shown.part, note, arrow](const std::string& words) {
               ClipPlan changed = keeper_.plan();
               if (index >= changed.parts.size() || (!arrow && words.empty())) return;
               changed.parts[index].notes.push_back(note);
               changed.parts[index].notes.back().text = words;
               chosen_ = index;
               keeper_.Change(std::move(changed));
             });
}

// An arrow or words of the chosen part, taken where they are pressed; false: the press took none.
bool ClipSheet::MoveNote(const Scene& scene, const ScreenRect& frame) {
  if (ImGui::IsItemActivated()) held_note_.reset();
  const ClipPart& part = keeper_.plan().parts[chosen_];
  const auto size = part.notes.empty() ? std::nullopt : PictureOfPart(scene, part);
  const auto at = size ? PointedAt(*size, part, scene, frame) : std::nullopt;
  if (ImGui::IsItemActivated() && at) {
    held_note_ = NoteGripAt(part, preview_.shown().into_part, *at, size->Height() / size->Width());
    held_at_ = *at;
  }
  if (!held_note_ || !(ImGui::IsItemActive() || ImGui::IsItemDeactivated())) return false;
  if (!at || held_note_->note >= part.notes.size()) return true;
  const ClipNote moved =
      MovedNote(part.notes[held_note_->note], held_note_->hold, at->x - held_at_.x, at->y - held_at_.y);
  held_at_ = *at;
  if (moved != part.notes[held_note_->note])
    ChangePart([&](ClipPart& changed) { changed.notes[held_note_->note] = moved; },
               std::exchange(dragged_, true));
  return true;
}

void ClipSheet::PointInPreview(const Scene& scene, const ScreenRect& picture) {
  const ClipPlan& plan = keeper_.plan();
  const ScreenRect frame = FrameWithin(picture, plan.width, plan.height);
  ImGui::SetCursorScreenPos({frame.left, frame.top});
  ImGui::InvisibleButton("preview picture", {std::max(1.0F, frame.Width()), std::max(1.0F, frame.Height())});
  if (preview_.shown().playing || wanted_) return;
  if (ImGui::IsItemActivated()) dragged_ = false;
  if (arrow_)
    PointArrow(scene, frame);
  else if (preview_.shown().part != chosen_) {
    if (ImGui::IsItemActivated()) chosen_ = preview_.shown().part;
  } else if (!MoveNote(scene, frame)) {
    DragView(frame);
  }
}

}  // namespace afterscope
