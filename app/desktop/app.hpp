// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/compare/compare_chooser.hpp"
#include "app/desktop/compare/compare_desk.hpp"
#include "app/desktop/debrief/debrief.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/fairly/fair_desk.hpp"
#include "app/desktop/fairly/shown_shelf.hpp"
#include "app/desktop/gl/picture_painter.hpp"
#include "app/desktop/key_map.hpp"
#include "app/desktop/notes/ask_panel.hpp"
#include "app/desktop/notes/note_panel.hpp"
#include "app/desktop/picture/picture_panel.hpp"
#include "app/desktop/player/play_choice.hpp"
#include "app/desktop/player/player.hpp"
#include "app/desktop/player/small_pictures.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"
#include "app/desktop/sound/sound_levels.hpp"
#include "app/desktop/sound/sound_player.hpp"
#include "app/desktop/sound/speaking.hpp"
#include "app/desktop/timeline/timeline_panel.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

class WorkSheets;

// What the shell does for the app.
struct ShellCalls {
  std::function<void()> wake;  // from any thread: draw again
  std::function<void()> toggle_full_screen;
  std::function<bool()> is_full_screen;
};

// Everything behind the window: what is open, how it is looked at, what the keys do. One thread, with the GL
// context current.
class App {
 public:
  static Result<std::unique_ptr<App>> Make(const GlApi& gl, ShellCalls shell);
  ~App();
  App(const App&) = delete;
  App& operator=(const App&) = delete;

  // Case folder, folder of cases, or recordings.
  void OpenPaths(const std::vector<std::string>& paths);
  void PressKey(const KeyChord& chord);
  void ReleaseKey(const std::string& key);  // what stands on it

  // Once a frame, in this order: Update before ImGui's frame begins, Draw within it, PaintPicture before
  // ImGui paints.
  void Update(double now);
  void Draw(float width, float height);
  void PaintPicture(int width, int height);

  // Fonts or colours changed: to be loaded again by the shell.
  bool TakeLookChange();
  Look& look() { return look_; }
  ViewSettings& settings() { return settings_; }
  // For those who drive it without a window: what it shows now, and whether work goes on behind it.
  const CaseView& view() const { return *view_; }
  const Player& player() const { return player_; }
  const SaidState& said() const { return said_; }
  std::optional<double> SoundDrift() const { return sound_.Drift(); }
  const std::vector<ShownShelfCase>& shelf() const { return sheet_.cases.shown; }
  const CompareDesk& compared() const { return compare_; }
  void ForgetPainted() { painter_.SetPicture({}); }  // it is uploaded again
  void ShowFrame(FrameRef at) { player_.JumpTo(at, now_); }
  bool Working() const { return !jobs_.Idle() || (desk_ && desk_->busy()); }
  // Something moves by itself: draw again soon.
  bool Restless() const;
  // A note or a question is open: keys belong to it.
  bool Typing() const { return note_.kind.has_value() || ask_.open() || sheet_.day.open; }
  // What is being typed is kept as if it had been entered, with the next picture that is drawn.
  void KeepWhatIsTyped();
  void SaveSettings();

 private:
  App(const GlApi& gl, ShellCalls shell, PicturePainter painter, KeyMap keys);

  // app_open.cpp
  void OpenCase(const std::string& folder, ReviewChooser choose = {});
  void OpenShelf(const std::string& folder);
  void OpenRecordings(const std::vector<std::string>& paths);
  void StartDesk();
  void FollowView();
  void OpenReel(std::vector<std::vector<CoverArea>> covers);
  void OfferBareRecordings();
  void LoadSteps();
  void FollowBrowser();
  void LookForCases(const std::string& folder);

  // app_day.cpp
  void LookForRecordings(const std::string& folder);
  void OfferDay();
  void MakeDayCases();
  void OpenNeighbour(int direction);
  bool DoCases(const std::string& action);

  // app_fair.cpp
  bool DoFair(const std::string& action);
  void FollowFair();
  void Reopen(ReviewChooser choose);
  ReviewChooser UsualReview(const std::string& folder) const;
  bool IsBlindedFolder(const std::string& folder) const;
  std::vector<ShownShelfCase> ShelfAsShown() const;

  // app_actions.cpp
  void Do(const std::string& action);
  bool DoPlayer(const std::string& action);
  bool DoTagging(const std::string& action);
  bool DoVisit(const std::string& action);
  bool DoNote(const std::string& action);
  bool DoMoment(const std::string& action);
  void ChangeMoment(const MomentId& id);
  const Moment* MomentHere() const;
  bool DoMarking(const std::string& action);
  bool DoMarks(const std::string& action);
  bool DoPoint(const std::string& action);
  bool PointChosen() const;
  void AskLabel(PointPx at);
  bool DoSheet(const std::string& action);
  bool DoLook(const std::string& action);
  void JumpBoundary(int direction);
  FrameRef SeenFrame() const;  // what the user has before her eyes

  // app_screens.cpp
  bool DoScreens(const std::string& action);
  void FollowPlan();
  void GoToMoment(int direction);
  void OpenDebrief();
  void LeaveDebrief();
  void DrawDebriefScreen(const Scene& scene, float width, float height);

  // app_compare.cpp
  bool DoCompare(const std::string& action);
  bool DoCompared(const std::string& action);
  bool DoChooser(const std::string& action);
  std::string StepToCompare() const;
  ComparedCase ThisCase() const;
  void OpenChooser();
  void CompareWith(const std::string& folder);
  void CompareEarlier();
  void CompareGrid();
  void OpenCompare(std::vector<ComparedCase> others, const std::string& step);
  void DrawCompareScreen(const Scene& scene, float width, float height);
  // app_tagging.cpp
  bool PressStepKey(const KeyChord& chord);
  void StartStepNow(const std::string& step, int lane);
  void RenameTo(const std::string& step);
  void NudgeBoundary(std::int64_t frames);
  void BoundaryHere();
  void TakeOverOrReturn(FrameRef at);
  void DoToVisit(const std::string& action, const StepVisit& visit, FrameRef at);
  void AskOwnStep();

  // app_step_list.cpp
  void KeepStepList(const StepList& list);
  std::string NewStepOfList(const std::string& name);
  void TakeStepList(const std::string& path);
  void WriteStepList(const std::string& path);

  // app_quiet.cpp
  void FollowQuietLines();
  void FollowSoundLine();
  void NextQuietLine();

  // app_jobs.cpp
  void Measure(bool quick);
  void FollowFindings();
  void StartReport();

  // app_works.cpp
  SheetCalls CallsOfSheets();
  bool SheetHasKeys() const;
  bool DoWorks(const std::string& action);
  void TakeNarration(const std::string& path);
  void TakeForm(const std::string& path);
  std::string CasesFolder() const;
  bool PaintSheetPicture(int width, int height);

  // app_sound.cpp
  bool DoSound(const std::string& action);
  void FollowSound();
  void ShowVolume();

  // app_speak.cpp
  void StartSpeaking();
  void FollowSpeaking();
  void StopSpeaking();
  void Hear(const MomentId& id);
  void HearRemark();

  // app_draw.cpp
  Scene MakeScene();
  KeysFor KeysAreFor() const;
  std::vector<KeyHint> HintsNow(const Scene& scene) const;
  void CarryOut();
  ScreenRect DrawSheet(const Scene& scene, float width, float height);
  void Say(const std::string& text, bool failure);

  const GlApi& gl_;
  ShellCalls shell_;
  JobRunner jobs_;
  ViewSettings settings_;
  ScriptText script_;
  Look look_;
  bool look_changed_ = true;
  KeyMap keys_;
  StepList steps_;
  std::string steps_of_;  // the id that the case named when they were loaded

  Reel reel_;
  Player player_;
  SmallPictures small_;
  SoundPlayer sound_;
  SoundLevels sound_levels_;
  Speaking speaking_;
  std::string speak_key_;  // that is held down while a remark is spoken
  bool plays_on_ = false;  // after it
  PicturePainter painter_;
  std::unique_ptr<CaseDesk> desk_;
  std::shared_ptr<const CaseView> view_ = std::make_shared<CaseView>();
  std::string opened_folder_;                 // whose recordings are in the reel
  std::vector<std::string> bare_recordings_;  // waiting to be offered as a case
  Tables tables_;
  CaseClock clock_;

  PictureState picture_;
  TimelineState timeline_;
  PlayChoice choice_;
  DebriefState debrief_;
  CompareDesk compare_;
  CompareChooser chooser_;
  SheetState sheet_;
  std::optional<FrameRef> opens_at_;  // where the case that is being opened is looked at first
  std::unique_ptr<WorkSheets> works_;
  NoteState note_;
  AskState ask_;
  FairDesk fair_;
  bool was_hidden_ = false;          // in the last picture of the window
  std::optional<VisitId> renaming_;  // waits for the key of the right step
  bool other_hand_ = false;          // the next step's key is the other hand's
  std::vector<Mark> copied_marks_;
  std::optional<VisitId> about_;      // the visit that the action which is carried out is about
  std::uint64_t quiet_revision_ = 0;  // of the case that the quiet lines were made from
  SaidState said_;
  bool keys_shown_ = false;
  Wishes wishes_;
  ScreenRect picture_area_;
  double now_ = 0;
  std::uint64_t generation_ = 0;  // of the open case; results for an older one are dropped
  std::shared_ptr<bool> alive_ = std::make_shared<bool>(true);
};

}  // namespace afterscope
