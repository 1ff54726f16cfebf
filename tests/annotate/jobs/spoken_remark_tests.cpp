// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/spoken_remark.hpp"
#include "annotate/media/sound_format.hpp"
#include "annotate/store/case_check.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>

using namespace afterscope;

namespace {

namespace fs = std::filesystem;

std::vector<float> Tone(double seconds) {
  std::vector<float> samples;
  for (int i = 0; i < seconds * kSoundRate; ++i)
    samples.push_back(static_cast<float>(0.5 * std::sin(2 * M_PI * 440 * i / kSoundRate)));
  return samples;
}

std::unique_ptr<CaseSession> NewCase(const std::string& folder) {
  CaseRecord record;
  record.code = "C1";
  RecordingRef recording;
  recording.path = "gone.mp4";
  recording.shape = {{1, 1000}, {0}, {60000}, 320, 240, {1, 1}, 0, true};
  record.recordings.push_back(recording);
  REQUIRE(CaseSession::Create(folder, record).ok());
  auto session = CaseSession::Open(folder, {});
  REQUIRE(session.ok());
  return std::move(*session);
}

// Keeps a remark and says where its sound is.
std::string Speak(CaseSession& session, std::int64_t ticks, const std::vector<float>& samples) {
  auto edits = KeepSpoken(session, {0, {ticks}}, samples);
  REQUIRE(edits.ok());
  REQUIRE(session.Commit(*edits).ok());
  const auto spoken = SpokenOf(session.review().moments.back());
  REQUIRE(spoken);
  return SpokenFolder(session.folder(), session.review().id) + "/" + spoken->name;
}

bool AnyFileHolds(const std::string& folder, const std::string& text) {
  int status = 0;
  OutputOf("grep -rqF -- " + Quoted(text) + " " + Quoted(folder), &status);
  return status == 0;
}

std::vector<std::string> SpokenWrong(const std::string& folder) {
  std::vector<std::string> wrong;
  for (const std::string& sentence : CheckCase(folder, false, {}, {}).wrong)
    if (sentence.find("remark") != std::string::npos) wrong.push_back(sentence);
  return wrong;
}

}  // namespace

TEST_CASE("What was spoken is a small file of the review, its owner's alone, and sounds the same",
          "[sound]") {
  const TemporaryFolder folder;
  const auto session = NewCase(folder / "case");
  const std::string path = Speak(*session, 1000, Tone(3));
  CHECK(session->UndoLabel() == "Spoken remark");
  CHECK((fs::status(path).permissions() & fs::perms::all) ==
        (fs::perms::owner_read | fs::perms::owner_write));
  CHECK(fs::file_size(path) < 20000);
  // By another program: Opus, three seconds, nothing that tells of anyone.
  const std::string probed = OutputOf(
      "ffprobe -v error -show_entries stream=codec_name,channels:format=duration:stream_tags:format_tags "
      "-of default=nw=1 " +
      Quoted(path));
  INFO(probed);
  CHECK(probed.find("codec_name=opus") != std::string::npos);
  CHECK(probed.find("channels=1") != std::string::npos);
  CHECK(std::stod(probed.substr(probed.find("duration=") + 9)) == Approx(3).margin(0.03));
  CHECK(probed.find("TAG:") == probed.find("TAG:encoder"));

  const auto sound = ReadSpoken(path, {});
  REQUIRE(sound.ok());
  CHECK(static_cast<double>(sound->size()) / 2 / kSoundRate == Approx(3).margin(0.03));
  // A sine of 0.5, spread from one channel to two at equal power.
  double squares = 0;
  for (const float sample : *sound) squares += double{sample} * sample;
  CHECK(std::sqrt(squares / static_cast<double>(sound->size())) == Approx(0.25).epsilon(0.03));
  CHECK(SpokenWrong(folder / "case").empty());
}

TEST_CASE("A spoken remark is undone and done again with its sound", "[sound]") {
  const TemporaryFolder folder;
  auto session = NewCase(folder / "case");
  const std::string path = Speak(*session, 1000, Tone(1));
  REQUIRE(session->Undo().ok());
  CHECK(session->review().moments.empty());
  session.reset();
  session = std::move(*CaseSession::Open(folder / "case", {}));
  CHECK(fs::exists(path));
  REQUIRE(session->Redo().ok());
  REQUIRE(session->review().moments.size() == 1);
  CHECK(SpokenOf(session->review().moments[0]));
  CHECK(SpokenBefore(session->review(), {0, {999}}) == nullptr);
  CHECK(SpokenBefore(session->review(), {0, {1000}}) == &session->review().moments[0]);
}

TEST_CASE("What was spoken but never became part of the record is gone when the case is opened", "[sound]") {
  const TemporaryFolder folder;
  auto session = NewCase(folder / "case");
  const std::string kept = Speak(*session, 1000, Tone(1));
  REQUIRE(KeepSpoken(*session, {0, {2000}}, Tone(1)).ok());
  const std::string spoken = fs::path(kept).parent_path();
  CHECK(FilesIn(spoken).size() == 2);
  session.reset();
  session = std::move(*CaseSession::Open(folder / "case", {}));
  CHECK(FilesIn(spoken) == std::vector<std::string>{kept});
}

TEST_CASE("A scrub removes the sound of a remark that holds the text, in whichever state", "[sound]") {
  const TemporaryFolder folder;
  auto session = NewCase(folder / "case");
  const std::string named = Speak(*session, 1000, Tone(1));
  const std::string other = Speak(*session, 2000, Tone(2));
  Moment moment = session->review().moments[0];
  const std::string digest = SpokenOf(moment)->sha256;
  moment.text = "As Eponine said";
  REQUIRE(session->Commit({"Word", {Put<Moment>{moment}}}).ok());
  moment.text = "As was said";
  REQUIRE(session->Commit({"Word", {Put<Moment>{moment}}}).ok());
  REQUIRE(session->Scrub("eponine").ok());
  CHECK_FALSE(fs::exists(named));
  CHECK(fs::exists(other));
  REQUIRE(session->review().moments.size() == 2);
  CHECK_FALSE(SpokenOf(session->review().moments[0]));
  CHECK(SpokenOf(session->review().moments[1]));
  REQUIRE(session->SaveCheckpoint().ok());
  CHECK_FALSE(AnyFileHolds(folder / "case", fs::path(named).filename()));
  CHECK_FALSE(AnyFileHolds(folder / "case", digest));
  CHECK(SpokenWrong(folder / "case").empty());

  // The sound alone, by the name of its file.
  REQUIRE(session->Scrub(SpokenOf(session->review().moments[1])->name).ok());
  CHECK_FALSE(fs::exists(other));
  CHECK(session->review().moments.size() == 2);
  CHECK(SpokenWrong(folder / "case").empty());
}

TEST_CASE("A sound that is missing or was changed is found by the check", "[sound]") {
  const TemporaryFolder folder;
  auto session = NewCase(folder / "case");
  const std::string path = Speak(*session, 1000, Tone(1));
  std::fstream(path, std::ios::in | std::ios::out | std::ios::binary).seekp(500).put('x');
  auto wrong = SpokenWrong(folder / "case");
  REQUIRE(wrong.size() == 1);
  CHECK(wrong[0].find("not as it was spoken") != std::string::npos);
  fs::remove(path);
  wrong = SpokenWrong(folder / "case");
  REQUIRE(wrong.size() == 1);
  CHECK(wrong[0].find("missing") != std::string::npos);
  // A name that leads out of the folder is none.
  Moment moment = session->review().moments[0];
  moment.fields["sound_file"] = "../../../../etc/passwd";
  CHECK_FALSE(SpokenOf(moment));
}

TEST_CASE("Sound that can't be kept is refused in one sentence, and leaves nothing", "[sound]") {
  const TemporaryFolder folder;
  auto session = NewCase(folder / "case");
  CHECK(KeepSpoken(*session, {0, {0}}, {}).error().code == ErrorCode::kBadCall);
  CHECK(KeepSpoken(*session, {0, {0}}, std::vector<float>(301 * kSoundRate)).error().code ==
        ErrorCode::kBadCall);
  session.reset();
  session = std::move(*CaseSession::Open(folder / "case", {{}, "", true}));
  CHECK(KeepSpoken(*session, {0, {0}}, Tone(1)).error().code == ErrorCode::kUnwritable);
  CHECK_FALSE(ReadSpoken(folder / "nothing.ogg", {}).ok());
}
