// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include "annotate/report/report_words.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/common/recent_list.hpp"
#include "app/desktop/fairly/hidden_names.hpp"
#include "app/desktop/player/cache_shares.hpp"
#include "app/desktop/sheets/work_sheets.hpp"

#include <imgui.h>

#include <utility>

namespace afterscope {
namespace {

constexpr int kJobThreads = 3;

FindingLabels LoadFindingLabels() {
  FindingLabels labels;
  if (const auto words = LoadReportWords(AssetsFolder() + "/reports/words.json"))
    for (const auto& [name, entry] : words->findings) labels[name] = entry.label;
  return labels;
}

}  // namespace

Result<std::unique_ptr<App>> App::Make(const GlApi& gl, ShellCalls shell) {
  AFTERSCOPE_ASSIGN(PicturePainter painter, PicturePainter::Make(gl));
  const std::string shipped = AssetsFolder() + "/keys.json";
  auto keys = KeyMap::Load(shipped, OwnKeysPath());
  const std::string problem = keys ? std::string() : keys.error().message;
  if (!keys) keys = KeyMap::Load(shipped);
  if (!keys) return keys.error();
  auto app = std::unique_ptr<App>(new App(gl, std::move(shell), std::move(painter), std::move(keys).value()));
  if (!problem.empty()) app->Say(problem + " It is in " + OwnKeysPath() + ".", true);
  return app;
}

App::App(const GlApi& gl, ShellCalls shell, PicturePainter painter, KeyMap keys)
    : gl_(gl),
      shell_(std::move(shell)),
      jobs_(kJobThreads, shell_.wake),
      settings_(LoadViewSettings(WindowSettingsPath())),
      script_(gl),
      keys_(std::move(keys)),
      player_(reel_, shell_.wake),
      small_(gl, jobs_, reel_),
      sound_(jobs_, reel_, settings_, shell_.wake),
      painter_(std::move(painter)),
      works_(std::make_unique<WorkSheets>(CallsOfSheets())),
      fair_(jobs_, ask_, settings_,
            {say_, [this](CaseAct act) { desk_->Act(std::move(act)); },
             [this](ReviewChooser choose) { Reopen(std::move(choose)); },
             [this](FrameRef at) { player_.JumpTo(at, now_); }}),
      compare_(jobs_, {settings_, painter_, sheet_.findings.findings, [this] { return Here(); },
                       [this] { return IsBlindedFolder(view_->folder); }, [this] { keys_shown_ = false; },
                       shell_.wake}),
      debrief_({shell_.toggle_full_screen, shell_.is_full_screen,
                [this](const MomentId& id) { sound_.Hear(id, *view_, say_); }}) {
  TakeSettings();
  LoadWords();
  StartDesk();
}

// How the window was left.
void App::TakeSettings() {
  look_.script = &script_;
  look_.colours = settings_.light ? LightPalette() : DarkPalette();
  look_.unit = static_cast<float>(settings_.scale_pct) / 100;
  timeline_.span_s = settings_.moment_seconds;
  picture_.look.clarity = settings_.clarity;
  picture_.look.magnifier = settings_.magnifier;
  timeline_.quiet_name = settings_.quiet_line;
  sheet_.kind = SheetKind::kCases;  // until a case is open
  sheet_.folded = settings_.folded;
  sheet_.cases.recent = settings_.recent;
  sheet_.cases.blinded_formal = settings_.blinded_formal;
}

void App::LoadWords() {
  const auto words = [](const char* file, const char* member) {
    auto list = LoadWordList(AssetsFolder() + file, member);
    return list ? std::move(list).value() : WordList{};
  };
  sheet_.findings.labels = LoadFindingLabels();
  sheet_.cases.difficulties = words("/difficulty.json", "difficulties");
  sheet_.cases.later = LoadLaterWords();
  sheet_.cases.step_lists = StepListIds(AssetsFolder());
  note_.complications = words("/complications.json", "complications");
  note_.complication_fields = words("/complications.json", "fields");
  if (auto form = LoadSettingsForm(AssetsFolder() + "/settings.json"))
    note_.settings = std::move(form).value();
}

App::~App() {
  works_->Close();
  desk_.reset();  // commits what waits
}

Scene App::MakeScene() {
  return {*view_,
          clock_,
          tables_,
          reel_,
          player_,
          steps_.list(),
          keys_,
          look_,
          now_,
          wishes_,
          sound_.Status(view_->hidden, player_.speed())};
}

ActionScene App::Here() { return {MakeScene(), *desk_, player_, ask_, say_}; }

void App::KeepWhatIsTyped() {
  leave_field_ = true;
  note_.keep_now = note_.kind.has_value();
  ask_.keep_now = ask_.open() && !ask_.irreversible;
}

Status App::SaveSettings() {
  settings_.light = look_.colours.light;
  settings_.moment_seconds = timeline_.span_s;
  settings_.clarity = picture_.look.clarity;
  settings_.magnifier = picture_.look.magnifier;
  settings_.quiet_line = timeline_.quiet_name;
  settings_.sheet = static_cast<int>(sheet_.kind);
  settings_.folded = sheet_.folded;
  Status saved = SaveViewSettings(WindowSettingsPath(), settings_);
  if (!saved.ok())
    Say("How the window is left was not kept. " + saved.error().message + " Close it again to leave.", true);
  return saved;
}

bool App::TakeLookChange() { return std::exchange(look_changed_, false); }

void App::Say(const std::string& text, bool failure) {
  constexpr double kSeconds = 6;
  constexpr double kFailureSeconds = 20;
  said_ = {view_->hidden ? WithoutNames(text, view_->folder, view_->kept_record) : text, failure,
           now_ + (failure ? kFailureSeconds : kSeconds)};
}

bool App::Restless() const {
  return player_.playing() || compare_.desk().Restless() || sound_.speaking() || works_->Restless() ||
         !jobs_.Shown().empty() || desk_->busy() || now_ < said_.until ||
         (!player_.exact() && reel_.At(player_.playhead().recording) != nullptr && player_.problem().empty());
}

void App::PressKey(const KeyChord& chord) {
  if (walk_.Takes(chord)) return;
  if (SheetHasKeys() && !compare_.open() && works_->Press(sheet_.kind, chord, MakeScene())) return;
  const std::string action = PointChosen() ? keys_.ActionWithPoint(chord) : keys_.ActionOf(chord);
  if (action == "speak") sound_.PressedToSpeak(chord.key);
  if (!action.empty()) return Do(action);
  if (!debrief_.open() && !compare_.choosing() && !compare_.open() && !report_view_.open())
    step_keys_.Press(chord, Here());
}

void App::ReleaseKey(const std::string& key) { sound_.Release(key, Here()); }

void App::Update(double now) {
  now_ = now;
  jobs_.Drain();
  view_ = desk_->view();
  FollowView();
  OfferBareRecordings();
  cases_.FollowBrowser();
  tables_ = reel_.tables();
  clock_ = CaseClock(reel_.Known(view_->record.recordings));
  // What is played follows the review: a boundary that is moved moves the loop's end with it.
  const auto debriefed = debrief_.Plan(view_->review, clock_);
  player_.SetPlan(debriefed ? *debriefed : PlanOf(choice_, view_->review, clock_.end()));
  reel_.SetCacheBytes(BudgetFor(compare_.open()).case_bytes);
  player_.Update(clock_, now);
  sound_.Follow(Here(), works_->Narrating());
  compare_.desk().Update(now);
  findings_.Follow(view_, MakeScene());
  follow_.Follow(view_, Here());
  sheet_.findings.following = follow_.work();
  sheet_.findings.eye_followed = EyeIsFollowed(follow_.followed(), reel_.Known(view_->record.recordings));
  report_view_.Follow(findings_.report());
  FollowFair();
  quiet_lines_.Follow(view_, MakeScene(), note_.settings.numbers);
  walk_.Follow(!sheet_.folded && !debrief_.open() && !compare_.open());
  works_->Follow(sheet_.folded ? SheetKind::kSteps : sheet_.kind, MakeScene());
}

void App::PaintPicture(int width, int height) {
  const auto live = debrief_.open() ? std::nullopt : follow_.Live(player_);
  const Picture& picture = live ? live->picture : player_.shown();
  if (compare_.open() || PaintSheetPicture(width, height) || picture.empty()) return;
  painter_.SetClarity(picture_.look.Shown());
  painter_.SetPicture(picture);
  const ShownPicture shown = ShownPicture::Of(picture);
  painter_.Paint(picture_.view.Placed(shown, picture_area_), picture_area_, width, height);
}

}  // namespace afterscope
