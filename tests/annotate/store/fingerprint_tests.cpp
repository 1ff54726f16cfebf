// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/fingerprint.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cstdio>
#include <filesystem>
#include <fstream>

namespace afterscope {
namespace {

std::string OutputOf(const std::string& command) {
  std::FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe);
  std::string text(64, '\0');
  text.resize(std::fread(text.data(), 1, 64, pipe));
  ::pclose(pipe);
  return text;
}

void WriteNoise(const std::string& path, int size) {
  std::ofstream file(path, std::ios::binary);
  std::uint32_t x = 1;
  for (int i = 0; i < size; ++i) {
    x = x * 1664525u + 1013904223u;
    file.put(static_cast<char>(x >> 24));
  }
}

}  // namespace

// The reference is sha256sum of GNU coreutils over what dd cuts out.
TEST_CASE("The sampled fingerprint is SHA-256 over the first, 16 inner and the last block", "[store]") {
  const TemporaryFolder folder;
  const std::string file = folder / "a.mp4";
  constexpr int kSize = 5'000'003;
  WriteNoise(file, kSize);
  const std::string blocks =
      "for k in $(seq 0 17); do p=$((k * (" + std::to_string(kSize) + " - 65536) / 17)); dd if=" + file +
      " bs=65536 iflag=skip_bytes,fullblock skip=$p count=1 2>/dev/null; done | sha256sum";
  CHECK(SampleFingerprint(file)->sampled_sha256 == OutputOf(blocks));
  CHECK(SampleFingerprint(file)->size == kSize);
  CHECK(FullDigest(file, {}, {}).value() == OutputOf("sha256sum < " + file));
  WriteNoise(file, 18 * 65536);
  CHECK(SampleFingerprint(file)->sampled_sha256 == OutputOf("sha256sum < " + file));
  CHECK(FullDigest(file, {}, [] { return true; }).error().code == ErrorCode::kStopped);
}

TEST_CASE("A flipped bit between the samples is found by the full digest only", "[store]") {
  const TemporaryFolder folder;
  const std::string file = folder / "a.mp4";
  WriteNoise(file, 5'000'003);
  const auto sampled = SampleFingerprint(file);
  const auto full = FullDigest(file, {}, {});
  {
    std::fstream change(file, std::ios::in | std::ios::out | std::ios::binary);
    change.seekp(65536 + 100000);
    change.put('x');
  }
  CHECK(SampleFingerprint(file)->sampled_sha256 == sampled->sampled_sha256);
  CHECK(FullDigest(file, {}, {}).value() != full.value());
}

TEST_CASE("A recording is found after it moved with its case, and told when it is missing or another",
          "[store]") {
  const TemporaryFolder folder;
  const std::string case_folder = folder / "day/case";
  std::filesystem::create_directories(case_folder);
  const std::string file = folder / "day/a.mp4";
  WriteNoise(file, 100000);
  RecordingRef recording{PathInCase(case_folder, file), *SampleFingerprint(file), {}};
  CHECK(recording.path == "../a.mp4");
  CHECK(FindRecording(case_folder, recording).state == RecordingState::kThere);
  std::filesystem::rename(folder / "day", folder / "other");
  const std::string moved = folder / "other/case";
  CHECK(FindRecording(moved, recording).state == RecordingState::kThere);
  std::filesystem::rename(folder / "other/a.mp4", folder / "other/case/renamed.mp4");
  const RecordingPlace place = FindRecording(moved, recording);
  CHECK(place.state == RecordingState::kMoved);
  CHECK(place.path == folder / "other/case/renamed.mp4");
  WriteNoise(folder / "other/a.mp4", 99999);
  std::filesystem::remove(folder / "other/case/renamed.mp4");
  CHECK(FindRecording(moved, recording).state == RecordingState::kDifferent);
  std::filesystem::remove(folder / "other/a.mp4");
  CHECK(FindRecording(moved, recording).state == RecordingState::kMissing);
  CHECK(FindRecording(moved, {"", {}, {}}).state == RecordingState::kNotAtHand);
  recording.path = "/etc/passwd";
  CHECK(FindRecording(moved, recording).state == RecordingState::kMissing);
}

TEST_CASE("A recording is not looked for in folders that only the case speaks of", "[store]") {
  const TemporaryFolder folder;
  const std::string case_folder = folder / "day/case";
  for (const char* each : {"day/case", "day/films", "private"})
    std::filesystem::create_directories(folder / each);
  std::filesystem::create_symlink("../private", folder / "day/link");
  WriteNoise(folder / "private/other.mp4", 1000);
  const Fingerprint known = *SampleFingerprint(folder / "private/other.mp4");
  for (const char* leading_out : {"../../private/a.mp4", "../films/../../private/a.mp4", "../link/a.mp4"}) {
    INFO(leading_out);
    CHECK(FindRecording(case_folder, {leading_out, known, {}}).state == RecordingState::kMissing);
  }
  std::filesystem::rename(folder / "private/other.mp4", folder / "day/films/renamed.mp4");
  CHECK(FindRecording(case_folder, {"../films/a.mp4", known, {}}).path == folder / "day/films/renamed.mp4");
}

TEST_CASE("A file outside the case's folder is opened only if the case knows it", "[store]") {
  const TemporaryFolder folder;
  const std::string case_folder = folder / "case";
  std::filesystem::create_directories(case_folder);
  WriteNoise(folder / "private.mp4", 1000);
  WriteNoise(case_folder + "/own.mp4", 1000);
  std::filesystem::create_symlink("../private.mp4", case_folder + "/link.mp4");
  CHECK(FindRecording(case_folder, {"own.mp4", {}, {}}).state == RecordingState::kThere);
  for (const char* leading_out : {"../private.mp4", "link.mp4", "x/../../private.mp4"}) {
    const RecordingPlace place = FindRecording(case_folder, {leading_out, {}, {}});
    CHECK(place.state == RecordingState::kDifferent);
    CHECK(place.path.empty());
    CHECK(FindRecording(case_folder, {leading_out, *SampleFingerprint(folder / "private.mp4"), {}}).state ==
          RecordingState::kThere);
  }
}

}  // namespace afterscope
