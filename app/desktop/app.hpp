// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/compare/compare_screen.hpp"
#include "app/desktop/debrief/debrief_keys.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/desk/step_list_keeper.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/fairly/fair_desk.hpp"
#include "app/desktop/fairly/shown_shelf.hpp"
#include "app/desktop/follow/follow_keeper.hpp"
#include "app/desktop/gl/picture_painter.hpp"
#include "app/desktop/key_map.hpp"
#include "app/desktop/notes/ask_panel.hpp"
#include "app/desktop/notes/note_panel.hpp"
#include "app/desktop/picture/mark_keys.hpp"
#include "app/desktop/picture/outline_keys.hpp"
#include "app/desktop/picture/picture_panel.hpp"
#include "app/desktop/player/cache_shares.hpp"
#include "app/desktop/player/play_choice.hpp"
#include "app/desktop/player/player.hpp"
#include "app/desktop/player/small_pictures.hpp"
#include "app/desktop/sheets/cases_keeper.hpp"
#include "app/desktop/sheets/findings_keeper.hpp"
#include "app/desktop/sheets/report_view.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"
#include "app/desktop/sheets/sheet_walk.hpp"
#include "app/desktop/sound/sound_desk.hpp"
#include "app/desktop/tagging/step_keys.hpp"
#include "app/desktop/timeline/quiet_lines.hpp"
#include "app/desktop/timeline/timeline_panel.hpp"

#include <functional>
#include <memory>
#include <optional>
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
  bool ActsOn(const KeyChord& chord) const { return !keys_.ActionOf(chord).empty(); }
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
  const CompareDesk& compared() const { return compare_.desk(); }
  void ForgetPainted() { painter_.SetPicture({}); }  // it is uploaded again
  void ShowFrame(FrameRef at) { player_.JumpTo(at, now_); }
  bool Working() const { return !jobs_.Idle() || desk_->busy(); }
  // Something moves by itself: draw again soon.
  bool Restless() const;
  // A note or a question is open: keys belong to it.
  bool Typing() const { return note_.kind.has_value() || ask_.open() || sheet_.day.open; }
  // What is being typed is kept as if it had been entered, with the next picture that is drawn.
  void KeepWhatIsTyped();
  // Says it where that fails.
  Status SaveSettings();

 private:
  App(const GlApi& gl, ShellCalls shell, PicturePainter painter, KeyMap keys);
  void TakeSettings();
  void LoadWords();
  Scene MakeScene();
  ActionScene Here();  // for carrying out an action now

  // app_open.cpp
  void OpenCase(const std::string& folder, ReviewChooser choose = {});
  void OpenShelf(const std::string& folder);
  void OpenRecordings(const std::vector<std::string>& paths);
  void StartDesk();
  void FollowView();
  void OpenReel(std::vector<std::vector<CoverArea>> covers);
  void OfferBareRecordings();
  void RememberPath(const std::string& path);
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
  bool DoCompare(const std::string& action);
  bool DoDebrief(const std::string& action, const ActionScene& here);
  bool DoPlayer(const std::string& action);
  bool DoChoice(const std::string& action);
  bool DoSheet(const std::string& action);
  bool DoFields(const std::string& action);
  void OpenBrowser();
  bool DoLook(const std::string& action);
  void JumpBoundary(int direction);
  void Leave();
  void TakeFollowed(const char* line);

  // app_works.cpp
  SheetCalls CallsOfSheets();
  bool SheetHasKeys() const;
  bool DoWorks(const std::string& action);
  void TakeNarration(const std::string& path);
  void TakeForm(const std::string& path);
  std::string CasesFolder() const;
  bool PaintSheetPicture(int width, int height);

  // app_draw.cpp
  void DrawReview(const Scene& scene, float width, float height);
  void DrawCompareScreen(const Scene& scene, float width, float height);
  void DrawDebriefScreen(const Scene& scene, float width, float height);
  ScreenRect DrawSheet(const Scene& scene, float width, float height);
  bool PointChosen() const;
  KeysFor KeysAreFor() const;
  std::vector<KeyHint> HintsNow(const Scene& scene) const;
  std::vector<JobHandle> Works() const;
  void CarryOut();

  void Say(const std::string& text, bool failure);

  const GlApi& gl_;
  ShellCalls shell_;
  JobRunner jobs_;
  JobScope lasting_jobs_{jobs_};
  JobScope case_jobs_{jobs_};  // for the open case; results for an earlier one are dropped
  SayCall say_ = [this](const std::string& text, bool failure) { Say(text, failure); };
  ViewSettings settings_;
  ScriptText script_;
  Look look_;
  bool look_changed_ = true;
  KeyMap keys_;
  SaidState said_;
  double now_ = 0;

  // What is open.
  std::unique_ptr<CaseDesk> desk_;  // never null
  std::shared_ptr<const CaseView> view_ = std::make_shared<CaseView>();
  std::string opened_folder_;                 // whose recordings are in the reel
  std::vector<std::string> bare_recordings_;  // waiting to be offered as a case
  std::optional<FrameRef> opens_at_;          // where the case that is being opened is looked at first
  StepListKeeper steps_{jobs_, say_};
  Tables tables_;
  CaseClock clock_;

  // How it is played and seen.
  Reel reel_{jobs_, BudgetFor(false).case_bytes, true};
  Player player_;
  SmallPictures small_;
  SoundDesk sound_;
  PicturePainter painter_;
  PlayChoice choice_;
  PictureState picture_;
  ScreenRect picture_area_;
  TimelineState timeline_;
  QuietLines quiet_lines_{jobs_, timeline_, sound_.levels()};

  // What is done to it.
  StepKeys step_keys_{steps_};
  MarkKeys mark_keys_{picture_};
  OutlineKeys outline_keys_{jobs_, picture_};
  NoteState note_;
  AskState ask_;
  Wishes wishes_;
  JobHandle work_in_sight_;       // in the last picture of the window
  std::optional<VisitId> about_;  // the visit that the action which is carried out is about

  // The sheets and the screens in place of the usual one.
  SheetState sheet_;
  std::optional<SheetKind> drawn_sheet_;  // in the last picture of the window
  SheetWalk walk_;
  CasesKeeper cases_{jobs_, sheet_.cases, sheet_.day, say_};
  FindingsKeeper findings_{jobs_, sheet_.findings};
  FollowKeeper follow_{jobs_, picture_, shell_.wake, [this](const char* line) { TakeFollowed(line); }};
  ReportView report_view_{jobs_, gl_};
  std::unique_ptr<WorkSheets> works_;
  FairDesk fair_;
  bool was_hidden_ = false;  // in the last picture of the window
  CompareScreen compare_;
  DebriefKeys debrief_;
  bool keys_shown_ = false;
  // With the next picture: ImGui tells that a field was left only if it is left within one.
  bool leave_field_ = false;
};

}  // namespace afterscope
