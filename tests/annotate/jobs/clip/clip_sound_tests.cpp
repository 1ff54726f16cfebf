// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/clip/clip_sound.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/media/recording.hpp"
#include "tests/annotate/jobs/clip/clip_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>

namespace afterscope {
namespace {

constexpr double kWithin = 0.020;        // seconds, of sound against picture
constexpr double kClickSeconds = 0.005;  // of a numbered recording

FrameRef At(double seconds) { return {0, Pts{std::llround(seconds * 12800)}}; }

// A hum with a short tone of 1 kHz after each second.
std::vector<float> Voice(int seconds) {
  std::vector<float> mono(static_cast<std::size_t>(seconds) * kSoundRate);
  for (std::size_t i = 0; i < mono.size(); ++i) {
    mono[i] = 0.02F * std::sin(static_cast<float>(i) * 0.05F);
    if (i % kSoundRate < 240 && i >= kSoundRate)
      mono[i] = 0.9F * std::sin(static_cast<float>(i % kSoundRate) * 0.1309F);
  }
  return mono;
}

std::vector<float> AllSound(const std::string& case_folder, const ClipPlan& plan) {
  auto source = ClipSource::Open(case_folder, plan, RealFileSystem());
  REQUIRE(source.ok());
  const ClipSchedule schedule(plan, source->Clocks());
  auto track = ClipSoundTrack::Open(plan, schedule, *source);
  INFO((track.ok() ? "" : track.error().message));
  REQUIRE(track.ok());
  std::vector<float> all;
  const std::int64_t end = std::llround(schedule.Seconds(schedule.frames()) * kSoundRate);
  for (std::int64_t at = 0; at < end; at += 1920) {
    const auto some = track->Read(at, std::min<std::int64_t>(1920, end - at), {});
    REQUIRE(some.ok());
    all.insert(all.end(), some->begin(), some->end());
  }
  return all;
}

std::vector<float> SoundIn(const std::string& path, double seconds) {
  const auto recording = Recording::Open(path, {});
  REQUIRE(recording.ok());
  std::vector<float> all;
  for (double at = 0; at < seconds; at += 30) {
    const auto block = (*recording)
                           ->Sound(std::llround(at * kSoundRate),
                                   std::llround(std::min(30.0, seconds - at) * kSoundRate), {});
    REQUIRE(block.ok());
    all.insert(all.end(), block->samples.begin(), block->samples.end());
  }
  return all;
}

float Loudest(const std::vector<float>& stereo, double from, double to) {
  float loudest = 0;
  for (auto i = static_cast<std::size_t>(from * kSoundRate); i < static_cast<std::size_t>(to * kSoundRate);
       ++i)
    loudest = std::max(loudest, std::abs(stereo[i * kSoundChannels]));
  return loudest;
}

// Where the energy of a stretch has its middle, in seconds.
double MiddleOfSound(const std::vector<float>& stereo, double from, double to) {
  double sum = 0, moment = 0;
  for (auto i = static_cast<std::size_t>(from * kSoundRate); i < static_cast<std::size_t>(to * kSoundRate);
       ++i) {
    if (i * kSoundChannels >= stereo.size()) break;
    const double energy = stereo[i * kSoundChannels] * stereo[i * kSoundChannels];
    sum += energy;
    moment += energy * static_cast<double>(i) / kSoundRate;
  }
  REQUIRE(sum > 0.1);  // something is heard there
  return moment / sum;
}

// Whether the numbers that pictures carry and the clicks of the sound are where the plan has them.
void CheckExport(const std::string& case_folder, const std::string& path, double seconds, double speed) {
  ClipPlan plan = PlanOf(0, seconds, speed);
  plan.parts[0].sound = ClipSound::kOriginal;
  ClipOptions options;
  options.preset = "ultrafast";
  const auto done = MakeClip(case_folder, plan, path, options, {}, {});
  INFO((done.ok() ? "" : done.error().message));
  REQUIRE(done.ok());
  const std::vector<int> numbers = NumbersIn(path);
  REQUIRE(static_cast<std::int64_t>(numbers.size()) == done->frames);
  int wrong = 0;
  for (std::size_t n = 0; n < numbers.size(); ++n)
    wrong += numbers[n] != static_cast<int>(std::floor(static_cast<double>(n) * speed + 1e-6));
  CHECK(wrong == 0);
  // Stretched sound is moved in pieces: its middle counts (SoundTempo).
  const std::vector<float> sound = SoundIn(path, seconds / speed);
  double farthest = 0;
  for (int second = 1; second < static_cast<int>(seconds); ++second) {
    const double place = (second + kClickSeconds / 2) / speed;
    farthest = std::max(farthest, std::abs(MiddleOfSound(sound, place - 0.1, place + 0.1) - place));
  }
  WARN(path.substr(path.rfind('/') + 1) << ": sound at most " << 1000 * farthest << " ms off");
  CHECK(farthest <= kWithin);
}

}  // namespace

TEST_CASE("A file's sound goes on over the parts that have it, and what it may say is cautioned once",
          "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 4 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  ClipPlan plan = PlanOf(0, 1.5, 1);
  plan.parts[0].sound = ClipSound::kFile;
  plan.parts[0].sound_file = "../numbered.mp4";
  plan.parts.push_back(plan.parts[0]);
  const std::vector<float> sound = AllSound(case_folder, plan);
  const std::vector<double> clicks = ClicksIn(sound, 0.1F);
  REQUIRE(clicks.size() >= 3);
  for (std::size_t i = 0; i < clicks.size(); ++i)  // in the file's own time, to the sample
    CHECK(clicks[i] == Approx(static_cast<double>(i)).margin(0.001));
  auto source = ClipSource::Open(case_folder, plan, RealFileSystem());
  REQUIRE(source.ok());
  const ClipSchedule schedule(plan, source->Clocks());
  const auto track = ClipSoundTrack::Open(plan, schedule, *source);
  REQUIRE(track.ok());
  CHECK(track->cautions() ==
        std::vector<std::string>{"Part 1 plays '../numbered.mp4': make sure that no name is spoken in it."});
}

TEST_CASE("A take is heard when its frame is shown, the sound under it lowered", "[clip][voice]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 12 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  CaseRecord record = RecordWith(folder.path(), "numbered.mp4");
  const CaseClock clock(record.recordings);
  const auto take = KeepTake(case_folder, Voice(3), {{0, At(4.5)}, {3, At(7.5)}}, clock, {});
  REQUIRE(take.ok());
  ClipPlan plan = PlanOf(2, 11, 1);
  plan.parts[0].sound = ClipSound::kOriginal;
  plan.parts[0].voice = true;
  const std::vector<float> sound = AllSound(case_folder, plan);
  REQUIRE(sound.size() == 9U * kSoundRate * kSoundChannels);
  // The take begins 2.5 s into the clip; its own clicks come 1 and 2 s later.
  CHECK(Loudest(sound, 0.99, 1.03) > 0.5F);  // of the recording
  CHECK(Loudest(sound, 2.99, 3.03) < 0.3F);  // lowered
  CHECK(Loudest(sound, 3.49, 3.52) > 0.6F);  // of the take
  CHECK(Loudest(sound, 4.49, 4.52) > 0.6F);
  CHECK(Loudest(sound, 6.99, 7.03) > 0.5F);
  const std::vector<double> clicks = ClicksIn(sound, 0.5F);
  REQUIRE(clicks.size() >= 2);
  CHECK(std::any_of(clicks.begin(), clicks.end(), [](double at) { return std::abs(at - 3.5) < kWithin; }));

  // Spoken again: the new take stands in the place of the old one, whose sound is gone.
  const auto again = KeepTake(case_folder, Voice(2), {{0, At(5)}, {2, At(7)}}, clock, take->id);
  REQUIRE(again.ok());
  const auto takes = LoadTakes(case_folder);
  REQUIRE(takes.ok());
  REQUIRE(takes->size() == 1);
  CHECK(takes->front().id == take->id);
  CHECK(takes->front().seconds == Approx(2));
  CHECK_FALSE(std::ifstream(VoiceFolder(case_folder) + "/" + take->file).good());
  CHECK(CheckTakes(case_folder).empty());
  std::ofstream(VoiceFolder(case_folder) + "/" + again->file) << "changed";
  CHECK(CheckTakes(case_folder).size() == 1);
}

TEST_CASE("The clip of a take with a pause speaks on over the still", "[clip][voice]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 8 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  const CaseClock clock(RecordWith(folder.path(), "numbered.mp4").recordings);
  const auto take =
      KeepTake(case_folder, Voice(5), {{0, At(2)}, {2, At(4)}, {4, At(4)}, {5, At(5)}}, clock, {});
  REQUIRE(take.ok());
  REQUIRE(SetTakeWords(case_folder, take->id, "Raise the flap.").ok());
  ClipPlan plan = PlanOf(0, 1, 1);
  plan.parts = PartsOfTake(*take, clock);
  for (ClipPart& part : plan.parts) part.outlines = part.dial = false;
  REQUIRE(plan.parts.size() == 3);
  const auto done = MakeClip(case_folder, plan, folder / "take.mp4", {}, {}, {});
  INFO((done.ok() ? "" : done.error().message));
  REQUIRE(done.ok());
  const std::vector<int> numbers = NumbersIn(folder / "take.mp4");
  REQUIRE(numbers.size() == 125);
  for (std::size_t n = 0; n < numbers.size(); ++n) {
    INFO("frame " << n);
    const std::size_t expected = n < 50 ? 50 + n : n < 100 ? 100 : n;
    CHECK(numbers[n] == static_cast<int>(expected));
  }
  const std::vector<double> clicks = ClicksIn(SoundIn(folder / "take.mp4", 5), 0.4F);
  REQUIRE(clicks.size() == 4);
  for (std::size_t i = 0; i < clicks.size(); ++i)
    CHECK(clicks[i] == Approx(static_cast<double>(i + 1)).margin(kWithin));
  REQUIRE_FALSE(done->caption_file.empty());
  std::ifstream in(done->caption_file);
  const std::string captions{std::istreambuf_iterator<char>(in), {}};
  CHECK(captions.find("Raise the flap.") != std::string::npos);
}

TEST_CASE("A part that stands still at a frame shows it so long, between the frames around it", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 8 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  const CaseClock clock(RecordWith(folder.path(), "numbered.mp4").recordings);
  ClipPlan plan = PlanOf(1, 5, 2);
  plan.parts = Frozen(plan.parts[0], At(3), 1, clock);
  const auto done = MakeClip(case_folder, plan, folder / "frozen.mp4", {}, {}, {});
  REQUIRE(done.ok());
  const std::vector<int> numbers = NumbersIn(folder / "frozen.mp4");
  REQUIRE(numbers.size() == 75);
  for (std::size_t n = 0; n < numbers.size(); ++n) {
    INFO("frame " << n);
    const std::size_t expected = n < 25 ? 25 + 2 * n : n < 50 ? 75 : 75 + 2 * (n - 50);
    CHECK(numbers[n] == static_cast<int>(expected));
  }
  // The stills of it, as pictures.
  const auto stills = MakeStills(case_folder, plan, folder / "still.png", {}, {}, {});
  REQUIRE(stills.ok());
  CHECK(stills->size() == 1);
  CHECK_FALSE(MakeStills(case_folder, plan, folder / "still.png", {}, {}, {}).ok());  // never over a file
}

TEST_CASE("Sound keeps its pitch and its place at half and twice the speed", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 8 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  for (const double speed : {0.5, 1.0, 1.5, 2.0})
    CheckExport(case_folder, folder / fmt::format("clip{}.mp4", speed), 8, speed);
  ClipPlan fast = PlanOf(0, 8, 4);
  fast.parts[0].sound = ClipSound::kOriginal;
  const auto done = MakeClip(case_folder, fast, folder / "fast.mp4", {}, {}, {});
  REQUIRE(done.ok());
  REQUIRE(done->cautions.size() == 1);
  CHECK(done->cautions[0].find("Part 1 is silent") == 0);
}

TEST_CASE("Pictures and sound of ten minutes stay together at every speed", "[.clip_long]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 600 * kNumberedRate);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  for (const double speed : {0.5, 1.0, 2.0})
    CheckExport(case_folder, folder / fmt::format("clip{}.mp4", speed), 600, speed);
  CheckExport(case_folder, folder / "clip.webm", 600, 1);
}

}  // namespace afterscope
