// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/media/sound_format.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <thread>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr int kPrograms = 6;

std::vector<float> Hum() {
  std::vector<float> mono(kSoundRate / 2);
  for (std::size_t i = 0; i < mono.size(); ++i) mono[i] = 0.2F * std::sin(static_cast<float>(i) * 0.05F);
  return mono;
}

Result<VoiceTake> KeepOne(const std::string& case_folder) {
  RecordingRef recording;
  recording.shape.time_base = {1, 25};
  recording.shape.end = {100};
  return KeepTake(case_folder, Hum(), {{0, {0, Pts{5}}}}, CaseClock({recording}), {});
}

}  // namespace

TEST_CASE("Takes that several programs keep at the same time are all kept", "[clip][voice]") {
  const TemporaryFolder folder;
  std::vector<std::thread> programs;
  std::vector<std::string> told(kPrograms);
  for (int i = 0; i < kPrograms; ++i)
    programs.emplace_back([&, i] {
      const auto take = KeepOne(folder.path());
      if (take.ok()) told[static_cast<std::size_t>(i)] = take->id;
    });
  for (std::thread& program : programs) program.join();
  const std::set<std::string> ids(told.begin(), told.end());
  CHECK(ids == std::set<std::string>{"take1", "take2", "take3", "take4", "take5", "take6"});
  const auto takes = LoadTakes(folder.path());
  REQUIRE(takes.ok());
  std::set<std::string> kept;
  for (const VoiceTake& take : *takes) kept.insert(take.id);
  CHECK(kept == ids);
  CHECK(CheckTakes(folder.path()).empty());
}

TEST_CASE("A sound that a program left that ended before the list had it goes with the next take",
          "[clip][voice]") {
  const TemporaryFolder folder;
  REQUIRE(KeepOne(folder.path()).ok());
  const std::string left = VoiceFolder(folder.path()) + "/take-0123456789abcdef0123456789abcdef.ogg";
  std::ofstream(left) << "left";
  REQUIRE(KeepOne(folder.path()).ok());
  CHECK_FALSE(fs::exists(left));
  CHECK(LoadTakes(folder.path())->size() == 2);
  CHECK(CheckTakes(folder.path()).empty());
}

TEST_CASE("Sound files of one name are kept beside one another, the same one once", "[clip]") {
  const TemporaryFolder folder;
  const std::string case_folder = folder / "case";
  for (const char* from : {"a", "b", "c"}) fs::create_directories(folder / from);
  std::ofstream(folder / "a/s.ogg") << "one";
  std::ofstream(folder / "b/s.ogg") << "two";
  std::ofstream(folder / "c/s.ogg") << "one";
  CHECK(KeepSoundFile(case_folder, folder / "a/s.ogg").value() == "clips/sounds/s.ogg");
  CHECK(KeepSoundFile(case_folder, folder / "b/s.ogg").value() == "clips/sounds/s-2.ogg");
  CHECK(KeepSoundFile(case_folder, folder / "c/s.ogg").value() == "clips/sounds/s.ogg");
  CHECK(KeepSoundFile(case_folder, folder / "b/s.ogg").value() == "clips/sounds/s-2.ogg");
  CHECK(KeepSoundFile(case_folder, case_folder + "/clips/sounds/s-2.ogg").value() == "clips/sounds/s-2.ogg");
  CHECK(RealFileSystem().ReadAll(case_folder + "/clips/sounds/s.ogg", 10).value() == "one");
  CHECK(RealFileSystem().ReadAll(case_folder + "/clips/sounds/s-2.ogg", 10).value() == "two");
}

}  // namespace afterscope
