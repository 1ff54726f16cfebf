// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/bottom_line.hpp"
#include "app/desktop/clips/clip_keeper.hpp"
#include "app/desktop/clips/clip_preview.hpp"
#include "app/desktop/clips/clip_speaker.hpp"
#include "app/desktop/clips/clip_views.hpp"
#include "app/desktop/clips/note_grip.hpp"
#include "app/desktop/clips/share_list.hpp"
#include "app/desktop/clips/voice_desk.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Under the preview, at 100 %.
inline constexpr float kPreviewLineHeight = 30;

// The sheet of clips: one key makes the clip of what is under the playhead, one adds the step to the plan;
// the plan's parts in order, its preview over the picture, and the export with its progress. One thread.
class ClipSheet {
 public:
  explicit ClipSheet(const SheetCalls& calls);

  // Keys that hold whatever sheet is open.
  bool DoAnywhere(const std::string& action, const Scene& scene);
  // While the sheet is open, its keys hold here; false: not one of them.
  bool Do(const std::string& action, const Scene& scene);
  void Follow(const Scene& scene, bool shown);  // once a frame
  void Draw(const Scene& scene);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  void Forget();
  void Close() { keeper_.SaveNow(); }

  // What lies over the picture: the preview instead of it, and the list before the first export.
  bool Previewing() const { return preview_.open(); }
  Picture PreviewPicture() const { return preview_.shown().picture; }
  bool Restless() const {
    return (preview_.open() && preview_.shown().playing) || Exporting() || voice_.active();
  }
  bool Narrating() const { return voice_.active(); }
  void DrawOver(const Scene& scene, const ScreenRect& picture);

 private:
  struct Wanted {  // a clip to be made
    ClipPlan plan;
    std::string what;  // for its file's name
  };

  bool DoPart(const std::string& action, const Scene& scene);
  bool DoPreview(const std::string& action);
  bool MoveInPreview(const std::string& action);
  void TogglePreview(const Scene& scene);
  void AddParts(std::vector<ClipPart> parts);
  void AskTitle(std::size_t index);
  void AddTitleCard();
  void ChangePart(const std::function<void(ClipPart&)>& change, bool goes_on = false);
  void Choose(std::size_t index, const Scene& scene);
  bool Exporting() const { return exporting_ && !exporting_->ended(); }
  bool Ready(const Scene& scene) const;
  void ReadOtherCovers(const Scene& scene);

  // clip_part_edits.cpp
  bool DoSwitch(const std::string& action);
  bool DoSound(const std::string& action);
  bool DoPlan(const std::string& action);
  bool DoView(const std::string& action);
  void ChangeView(const std::function<ClipView(const ClipView&)>& change, bool goes_on = false);
  void ShowViewEnd();
  void Freeze(const Scene& scene);
  void AskSoundFile();
  void DropNote();
  void ToggleHold(const Scene& scene);

  // clip_pointing.cpp
  void PointInPreview(const Scene& scene, const ScreenRect& picture);
  void DragView(const ScreenRect& frame);
  void PointArrow(const Scene& scene, const ScreenRect& frame);
  bool MoveNote(const Scene& scene, const ScreenRect& frame);
  std::optional<PictureShare> PointedAt(const ShownPicture& size, const ClipPart& part, const Scene& scene,
                                        const ScreenRect& frame) const;
  std::optional<ShownPicture> PictureOfPart(const Scene& scene, const ClipPart& part) const;

  // clip_export.cpp
  bool DoExport(const std::string& action, const Scene& scene);
  void WantClip(Wanted wanted, const Scene& scene);
  void StartExport(const Scene& scene);
  void FindWords(const Scene& scene);
  void WriteTexts(const Scene& scene);

  // clip_panel.cpp
  void DrawPart(const Scene& scene, std::size_t index);
  void DrawPartSwitches(const Scene& scene, const ClipPart& part);
  void DrawPictureSwitches(const Scene& scene, const ClipPart& part);
  void DrawExport(const Scene& scene);
  void DrawMade(const Scene& scene);
  void DrawShareList(const Scene& scene, const ScreenRect& picture);
  void DrawPreviewLine(const Scene& scene, const ScreenRect& picture);
  void Key(ButtonRow& row, const Scene& scene, const char* words, const char* action, bool chosen = false);

  const SheetCalls& calls_;
  ClipSpeaker speaker_;  // outlives those who speak through it
  ClipKeeper keeper_;
  ClipPreview preview_;
  VoiceDesk voice_;
  std::uint64_t previewed_takes_ = 0;
  ViewEnd view_end_ = ViewEnd::kBoth;
  bool arrow_ = false;  // the next drag in the preview draws one
  std::optional<PictureShare> arrow_from_;
  std::optional<NoteGrip> held_note_;
  PictureShare held_at_;
  bool dragged_ = false;  // what is held in the preview was moved already: all of it is one change
  std::uint64_t previewed_plan_ = 0;
  std::uint64_t previewed_case_ = 0;
  std::size_t chosen_ = 0;
  std::string purpose_ = "local teaching";
  bool webm_ = false;
  WordList checks_;                          // of the list before the first export
  std::optional<Wanted> wanted_;             // waits for the list to be gone through
  std::string gone_through_;                 // the case for which it was
  std::optional<OtherCovers> other_covers_;  // read when the sheet opens, and before the list is shown
  std::string covers_of_;                    // case and review that they are beside; empty: to be read
  JobHandle exporting_, finding_;
  std::vector<std::string> made_;  // lines about the last clip, its path first
  std::string refused_;            // why none was made
  std::string folder_;
};

}  // namespace afterscope
