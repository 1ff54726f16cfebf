// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/faults/fault_support.hpp"

#include "annotate/exchange/carried_data.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/jobs/spoken_remark.hpp"
#include "annotate/jobs/verify/verify_report.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/media/sealed_file.hpp"
#include "annotate/media/sound_envelope.hpp"
#include "annotate/media/sound_format.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/file_system.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/json_text.hpp"
#include "annotate/store/review_json.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/common/text_output.hpp"
#include "app/desktop/desk/view_settings.hpp"
#include "app/desktop/player/light_copy.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cstdlib>
#include <dlfcn.h>
#include <filesystem>
#include <utility>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

using Arm = void(const char* folder, const char* how, int at, const char* note);

// Null where the module was not loaded before this program.
Arm* BrokenDisk() { return reinterpret_cast<Arm*>(::dlsym(RTLD_DEFAULT, "broken_disk_arm")); }

constexpr char kCache[] = "cache/afterscope";

// The exit status of what the window does by itself; it shows the sentence that is printed here.
int Ended(const Status& done) {
  if (!done.ok()) fmt::print(stderr, "{}\n", done.error().message);
  return done.ok() ? 0 : 5;
}

// The last step of verify, whose phantoms take minutes: what it says of none.
int WriteVerifyJson() {
  const Json json = WithExportedNumbers(VerifyJson({kVerifySeed, "test", {}, {}}));
  return Ended(WriteJsonOutput("out.json", ReadableText(json)));
}

int KeepWindowSettings() {
  ViewSettings settings;
  Remember(settings, "c");
  return Ended(SaveViewSettings("kept/window.json", settings));
}

int KeepOwnStepList() {
  auto list = LoadStepListFile(AssetsFolder() + "/step_lists/phacoemulsification.json");
  if (!list.ok()) return Ended(list.error());
  list->id = "own";
  return Ended(SaveStepList(*list, "kept/own.json"));
}

Status SpeakRemark() {
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open("c", {.review = {}, .reviewer_code = "m1"}));
  AFTERSCOPE_ASSIGN(const EditGroup edits,
                    KeepSpoken(*session, {0, {3}}, std::vector<float>(kSoundRate / 2, 0.1F)));
  return session->Commit(edits);
}

int KeepRemark() { return Ended(SpeakRemark()); }

// As the window keeps them.
int KeepSoundLevels() {
  const auto recording = Recording::Open("v.mp4", {});
  if (!recording.ok() || !(*recording)->WaitForTable(TableState::kVerified, {}, {}).ok()) return 3;
  const auto envelope = MakeSoundEnvelope(**recording, {}, {});
  if (!envelope.ok()) return 3;
  SoundEnvelopeStore(kCache, RealFileSystem()).Save(**recording, *envelope);
  return 0;
}

int KeepLightCopy() {
  const auto recording = Recording::Open("v.mp4", {});
  if (!recording.ok() || !(*recording)->WaitForTable(TableState::kVerified, {}, {}).ok()) return 3;
  return Ended(LightCopy::Make(**recording, "kept/light.mp4", {}, {}));
}

// The assets as they are, with one short and small case in the demo.
void MakeAssets(const fs::path& folder) {
  fs::create_directories(folder / "demo");
  for (const auto& entry : fs::directory_iterator(AssetsFolder()))
    if (entry.path().filename() != "demo")
      fs::create_symlink(fs::absolute(entry.path()), folder / entry.path().filename());
  Json series = Json::parse(BytesOf(AssetsFolder() + "/demo/series.json"));
  Json one = series["cases"][0];
  one["seconds"] = 40;
  one["picture"] = {{"width", 96}, {"height", 72}, {"limbus_px", 52}};
  one["recording"]["rate"] = {5, 1};
  series["cases"] = Json::array({one});
  series["tables"]["count"] = 1;
  WriteBytes(folder / "demo/series.json", series.dump());
}

// A second of an instrument in an eye, as cases that nothing was followed for and where the eye was.
void MakeFollowCases(const std::string& folder) {
  const ToolStretch stretch(25);
  Recorded(stretch.phantom, stretch.seconds, folder + "/eye.mp4");
  std::string points;
  for (const std::size_t frame : {std::size_t{4}, std::size_t{20}})
    points += fmt::format(" f{},{},{}", frame, stretch.tips[frame].x, stretch.tips[frame].y);
  for (const char* name : {"eye", "tip"}) {
    Done(folder, fmt::format("new {0} --recording eye.mp4 --set code={0}", name));
    Done(folder, fmt::format("tag {} --reviewer m1 --moment remark --text x --at f0", name));
  }
  Done(folder, "follow tip");
  Done(folder, "tag tip --reviewer m1 --trail t1 --instrument forceps --trail-points" + points);
}

}  // namespace

std::vector<WritingCall> WritingCalls() {
  return {
      {"edit: a step", "tag c --reviewer m1 --step lens --at 1", {}},
      {"edit: a mark", "tag c --reviewer m1 --mark limbus --at 1 --points 10,10 30,10 30,30 10,30 20,35", {}},
      {"edit: many at once", "tag c --reviewer m1 --edits edits.json", {}},
      {"goals",
       "tag c --reviewer m1 --strength calm --change slower --drill wetlab --drill-date 2027-01-31",
       {}},
      {"settings of the machine",
       "tag c --reviewer m1 --moment settings --key sculpt --field power=60 --at 1",
       {}},
      {"undo", "tag c --reviewer m1 --undo", {}},
      {"signing", "tag c --reviewer m1 --sign", {}},
      {"scrub", "tag c --scrub osprey", {}},
      {"scores", "score c --sheet whole_operation --reviewer m1 --item gentle=2 --remark gentle=seen", {}},
      {"narration", "import c --narration talk.vtt", {}},
      {"next version", "tag signed --reviewer m1 --next-version", {}, true, "signed"},
      {"answers taken in", "pack signed --take-in handed", {}, true, "signed"},
      {"follow: the eye", "follow eye", {}, true, "eye", StateOfFollowed},
      {"follow: a tip", "follow tip", {}, true, "tip", StateOfFollowed},
      {"step table", "import fresh --steps steps.csv --rate 25", {}, true, "fresh"},
      {"new case", "new started --recording v.mp4 --set code=k9", {}, true, "started"},
      {"intake", "intake new --make made", {}, true, "made/other"},
      {"outcomes", "outcomes . --table outcomes.csv", {}},
      {"follow-up", "due c --plan posterior_capsule --on 2027-01-31", {}},
      {"index", "series . --json out.json", {"out.json"}, true, ""},
      {"series report", "series . --report out.pdf", {"out.pdf"}, true, ""},
      {"series page", "series . --report out.html", {"out.html"}, true, ""},
      {"portfolio", "series . --operator o1 --portfolio out.html", {"out.html"}, true, ""},
      {"progress", "series . --operator o1 --progress out.pdf", {"out.pdf"}, true, ""},
      {"logbook", "series . --operator o1 --logbook out.csv", {"out.csv"}, true, ""},
      {"values", "series . --csv out.csv --lines lines.json", {"out.csv"}, true, ""},
      {"findings", "measure c --json out.json --csv out.csv", {"out.json", "out.csv"}},
      {"agreement", "agree both --json out.json", {"out.json"}, true, ""},
      {"verify", "", {"out.json"}, true, "", {}, true, 0, WriteVerifyJson},
      {"window settings", "", {"kept/window.json"}, true, "", {}, true, 0, KeepWindowSettings},
      {"light copy", "", {"kept/light.mp4"}, false, "", {}, true, 0, KeepLightCopy},
      {"own step list", "", {"kept/own.json"}, true, "", {}, true, 0, KeepOwnStepList},
      {"spoken remark", "", {}, true, "c", StateOfSpoken, true, 0, KeepRemark},
      {"demo", "demo d --workers 1", {"d/demo.json"}, false, "", {}, true, 12},
      {"frame table", "info new/other.mp4", {}, true, kCache, StateOfCache, false},
      {"sound levels", "", {}, true, kCache, StateOfCache, false, 0, KeepSoundLevels},
      {"report page", "report c -o out.html", {"out.html"}},
      {"report PDF", "report c -o out.pdf", {"out.pdf"}},
      {"report table", "report c -o out.csv", {"out.csv"}},
      {"captions", "clip c --captions-of-case words.vtt", {"words.vtt"}, false},
      {"chapters", "clip c --chapters-of-case parts.vtt", {"parts.vtt"}, false},
      {"stills", "clip c --from 0 --to 0.4 --size 128x96 -o still.png", {"still.png"}, false},
      {"steps", "clip c --steps-of-case visits.csv", {"visits.csv"}, false},
      {"frame", "frame v.mp4 --index 3 -o out.png", {"out.png"}, true, ""},
      {"clip plan", "clip c --from 0 --to 0.4 --save one", {}},
      {"clip MP4", "clip c --from 0 --to 0.4 --size 128x96 --captions-beside -o one.mp4", {"one.mp4"}, false},
      {"clip WebM", "clip c --from 0 --to 0.4 --size 128x96 -o two.webm", {"two.webm"}, false},
      {"voice take", "clip c --add-take talk.wav --from 0 --words now", {}},
      {"pack", "pack signed -o out", {"out/case.json"}, false, "signed"},
      {"forget a case", "forget --case c --yes", {}},
      {"forget all", "forget --yes", {}},
  };
}

void MakeFaultFolder(const std::string& folder) {
  REQUIRE(
      std::system(fmt::format("cd {} && ffmpeg -v error -f lavfi -i testsrc=d=2:s=64x48:r=25 -f lavfi -i "
                              "sine=d=2 -c:v libx264 v.mp4 && ffmpeg -v error -f lavfi -i sine=d=1 talk.wav",
                              folder)
                      .c_str()) == 0);
  fs::create_directory(folder + "/new");
  fs::create_directory(folder + "/kept");
  REQUIRE(std::system(fmt::format("ffmpeg -v error -f lavfi -i testsrc=d=0.4:s=64x48:r=25 -c:v libx264 "
                                  "{}/new/other.mp4",
                                  folder)
                          .c_str()) == 0);
  WriteBytes(folder + "/talk.vtt", "WEBVTT\n\n00:00.200 --> 00:00.900\nNow the rhexis.\n");
  WriteBytes(folder + "/steps.csv", "step,start,end\nrhexis,0,20\nlens,20,40\n");
  WriteBytes(folder + "/outcomes.csv", "case,acuity_logmar\nk1,0.1\n");
  WriteBytes(folder + "/edits.json",
             R"({"edits":[{"put_moment":{"at":{"recording":0,"ticks":3},"kind":"remark","text":"x"}},)"
             R"({"put_moment":{"at":{"recording":0,"ticks":9},"kind":"remark","text":"y"}}]})");
  for (const char* name : {"c", "signed"}) {
    Done(folder,
         fmt::format("new {} --recording v.mp4 --set code={} --set operator_code=o1 --set date=2026-01-0{} "
                     "--set 'consent.local teaching=given' --set consent.review=given",
                     name, name[0] == 'c' ? "k1" : "k2", name[0] == 'c' ? 1 : 2));
    Done(folder, fmt::format("tag {} --reviewer m1 --step rhexis --at 0.2 --to 0.8", name));
    Done(folder, fmt::format("tag {} --reviewer m1 --moment remark --text osprey --at 0.5", name));
  }
  Done(folder, "tag signed --reviewer m1 --sign");
  Done(folder, "pack signed -o handed");
  Done(folder, "tag handed --answer thanks --by o1");
  Done(folder, "new both --recording v.mp4 --set code=k3");
  for (const char* reviewer : {"m1", "m2"})
    Done(folder, fmt::format("tag both --reviewer {} --step rhexis --at 0.2 --to 0.8", reviewer));
  MakeFollowCases(folder);
  MakeAssets(folder + "/assets");
  WriteBytes(folder + "/config_seed.json", fmt::format(R"({{"light": true, "recent": ["{}/c"]}})", folder));
  fs::create_directories(folder + "/config/afterscope");
  fs::rename(folder + "/config_seed.json", folder + "/config/afterscope/window.json");
}

ForkedRun RunCall(const std::string& folder, const WritingCall& call, const std::function<void()>& before) {
  const auto prepare = [&] {
    ::setenv("AFTERSCOPE_ASSETS", (folder + "/assets").c_str(), 1);
    if (before) before();
  };
  return RunForked(folder, call.arguments, prepare, call.work);
}

FaultRun RunOnDisk(const std::string& folder, const WritingCall& call, const std::string& how, int at) {
  const TemporaryFolder notes;
  const std::string note = notes / "reached";
  REQUIRE(BrokenDisk());
  ForkedRun run = RunCall(folder, call, [&] { BrokenDisk()(folder.c_str(), how.c_str(), at, note.c_str()); });
  const int calls = at == 0 ? std::atoi(BytesOf(note).c_str()) : 0;
  return {run.status, fs::exists(note), calls, std::move(run.err)};
}

std::string StateOfCase(const std::string& case_folder) {
  const auto session = CaseSession::Open(case_folder, {});
  if (!session.ok()) return "none";
  Json state{{"case", JsonFrom((*session)->record())}, {"reviews", Json::array()}};
  for (const ReviewId& id : (*session)->Reviews())
    if (const auto review = (*session)->ReadReview(id)) {
      Json json = JsonFrom(*review);
      json.erase("signature");  // has the time
      state["reviews"].push_back(std::move(json));
    }
  for (Json& review : state["case"]["signed_reviews"]) review.erase("seal");
  return ReadableText(state);
}

std::string StateOfFollowed(const std::string& case_folder) {
  const auto session = CaseSession::Open(case_folder, {});
  if (!session.ok()) return "none";
  std::string state;
  const Followed followed = LoadFollowed(case_folder, (*session)->review().id);
  for (const FollowedEye& eye : followed.eyes)
    state += fmt::format("eye {} {}\n", eye.frames.size(), eye.complete);
  for (const FollowedTrail& trail : followed.trails) state += fmt::format("tip {}\n", trail.tips.size());
  return state;
}

std::string StateOfSpoken(const std::string& case_folder) {
  const auto session = CaseSession::Open(case_folder, {});
  if (!session.ok()) return "none";
  int spoken = 0;
  for (const Moment& moment : (*session)->review().moments) spoken += SpokenOf(moment).has_value();
  std::string state = fmt::format("{} spoken", spoken);
  for (const std::string& wrong : CheckSpoken(case_folder, (*session)->review(), RealFileSystem()))
    state += "; " + wrong;
  return state;
}

std::string StateOfCache(const std::string& cache_folder) {
  int whole = 0, broken = 0;
  for (const auto& entry : fs::directory_iterator(cache_folder)) {
    const fs::path kind = entry.path().extension();
    if (kind == ".frames" || kind == ".levels")
      ++(LoadSealed(RealFileSystem(), entry.path().string(), 1 << 20) ? whole : broken);
  }
  return fmt::format("{} whole, {} broken", whole, broken);
}

bool IsSameEachTime(const std::string& path) {
  return (path.ends_with(".json") && !path.ends_with("/case.json")) || path.ends_with(".html") ||
         path.ends_with(".csv") || path.ends_with(".vtt");
}

bool IsWhole(const std::string& path) {
  if (path.ends_with(".json")) return Json::accept(BytesOf(path));
  if (path.ends_with(".mp4") && BytesOf(path).find("moov") == std::string::npos) return false;
  return WhatFileCarries(path).ok();
}

std::vector<std::string> Unfinished(const std::string& folder) {
  std::vector<std::string> found;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.path().extension() == ".tmp" || entry.path().extension() == ".unfinished")
      found.push_back(entry.path().string());
  return found;
}

}  // namespace afterscope
