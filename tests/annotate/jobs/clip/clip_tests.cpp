// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_data.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/jobs/clip/clip_frames.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/jobs/describe_recording.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/media/video_writer.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/jobs/clip/clip_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <limits>

namespace afterscope {
TEST_CASE("Every frame of a clip is the frame that the plan says", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 300);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  int file = 0;
  for (const double speed : {0.125, 0.5, 1.0, 2.0, 3.0, 8.0}) {
    INFO("speed " << speed);
    const double from = 2, to = speed < 1 ? 4 : 10;
    const std::string path = folder / fmt::format("clip{}.mp4", ++file);
    const auto done = MakeClip(case_folder, PlanOf(from, to, speed), path, {}, {}, {});
    INFO((done.ok() ? "" : done.error().message));
    REQUIRE(done.ok());
    const std::vector<int> numbers = NumbersIn(path);
    REQUIRE(static_cast<std::int64_t>(numbers.size()) == done->frames);
    REQUIRE(numbers.size() == static_cast<std::size_t>(std::llround((to - from) / speed * kNumberedRate)));
    for (std::size_t n = 0; n < numbers.size(); ++n) {
      INFO("frame " << n);
      // On screen `n` frames of the clip after the start, at equal rates of clip and recording.
      CHECK(numbers[n] ==
            static_cast<int>(std::floor(from * kNumberedRate + static_cast<double>(n) * speed + 1e-6)));
    }
  }
}

TEST_CASE("A clip in WebM, with a title, captions and sound, reads back", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 150);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  {
    const auto session = CaseSession::Open(case_folder, {});
    REQUIRE(session.ok());
    REQUIRE(
        (*session)
            ->Commit(
                {"", {Put<Caption>{{{"c1"}, {0, Pts{25600}}, FrameRef{0, Pts{38400}}, "Raise the flap"}}}})
            .ok());
  }
  ClipPlan plan = PlanOf(1, 5, 1);
  ClipPart title;
  title.kind = ClipPartKind::kTitle;
  title.text = "Rhexis";
  title.seconds = 1;
  plan.parts.insert(plan.parts.begin(), title);
  plan.parts[1].sound = ClipSound::kOriginal;
  plan.burn_captions = false;
  const auto done = MakeClip(case_folder, plan, folder / "clip.webm", {}, {}, {});
  INFO((done.ok() ? "" : done.error().message));
  REQUIRE(done.ok());
  std::ifstream in(done->caption_file);
  const auto captions = ReadTimedText(std::string(std::istreambuf_iterator<char>(in), {}));
  REQUIRE(captions.ok());
  REQUIRE(captions->cues.size() == 1);
  CHECK(captions->cues[0].text == "Raise the flap");
  CHECK(captions->cues[0].start ==
        Approx(1 + 1).margin(1.0 / kNumberedRate));  // a second of title, then from 1 s on
  const auto clip = Recording::Open(folder / "clip.webm", {});
  REQUIRE(clip.ok());
  CHECK((*clip)->info().codec == "vp9");
  REQUIRE((*clip)->info().sound);
  CHECK((*clip)->info().sound->codec == "opus");
  // The clicks of seconds 1 to 4 of the recording, a second later in the clip.
  const auto sound = (*clip)->Sound(0, 5 * kSoundRate, {});
  REQUIRE(sound.ok());
  for (int second = 1; second < 5; ++second) {
    const auto at = static_cast<std::size_t>(second) * kSoundRate;
    std::size_t first = 0;
    for (std::size_t i = at - kSoundRate / 4; i < at + kSoundRate / 4; ++i)
      if (std::abs(sound->samples[i * kSoundChannels]) > 0.3f) {
        first = i;
        break;
      }
    INFO("second " << second);
    CHECK(std::abs(static_cast<double>(first) - static_cast<double>(at)) < 0.02 * kSoundRate);
  }
}

TEST_CASE("Covered pixels of a clip don't depend on what they cover", "[clip]") {
  ClipCase shown;
  Mark cover;
  cover.id = {"m1"};
  cover.kind = MarkKind::kCover;
  cover.points = {{41.3, 30.2}, {90.7, 55.5}};
  Mark ellipse = cover;
  ellipse.points = {{150, 40}, {230, 110}};
  ellipse.fields["shape"] = "ellipse";
  shown.review.marks = {cover, ellipse};
  RecordingRef recording;
  recording.shape = {{1, 25}, Pts{0}, Pts{25}, kNumberedWidth, kNumberedHeight, {1, 1}, 0, true};
  shown.record.recordings = {recording};
  shown.clock = CaseClock(shown.record.recordings);
  const auto source = [&](unsigned seed) {
    const auto frame = std::make_shared<YuvFrame>(kNumberedWidth, kNumberedHeight, ColorMatrix::kBt709);
    for (int y = 0; y < kNumberedHeight; ++y)
      for (int x = 0; x < kNumberedWidth; ++x) {
        const bool in_box = x >= 42 && x <= 90 && y >= 31 && y <= 55;
        const bool in_ellipse = std::hypot((x - 190) / 40.0, (y - 75) / 35.0) < 1;
        seed = seed * 1664525 + 1013904223;
        frame->y[static_cast<std::size_t>(y * kNumberedWidth + x)] =
            in_box || in_ellipse ? static_cast<std::uint8_t>(seed >> 24)
                                 : static_cast<std::uint8_t>(16 + (x + y) % 200);
      }
    return AsPicture(frame, {0, Pts{0}});
  };
  for (const double zoom : {1.0, 1.7, 3.1}) {
    ClipPlan plan = PlanOf(0, 0.5, 1);
    plan.width = 256;
    plan.height = 144;
    plan.parts[0].end = {0, Pts{12}};
    plan.parts[0].view = plan.parts[0].view_at_end = {0.4, 0.4, zoom};
    const ClipSchedule schedule(plan, {shown.clock});
    YuvFrame one(plan.width, plan.height, ColorMatrix::kBt709), other = one;
    DrawClipFrame(plan, schedule, schedule.At(0), shown, source(1), one);
    DrawClipFrame(plan, schedule, schedule.At(0), shown, source(99), other);
    CHECK(one.y == other.y);
    CHECK(one.u == other.u);
    CHECK(one.v == other.v);
    YuvFrame bare(plan.width, plan.height, ColorMatrix::kBt709);
    ClipCase uncovered = shown;
    uncovered.review.marks.clear();
    DrawClipFrame(plan, schedule, schedule.At(0), uncovered, source(1), bare);
    CHECK(bare.y != one.y);  // the cover does cover something
  }
}

TEST_CASE("Nothing of a recording's own words comes into a clip", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "plain.mp4", 60);
  const std::string words = "SECRETNAME";
  const std::string command = fmt::format(
      "ffmpeg -v error -i '{0}' -map_metadata -1 -c copy -metadata title={1} -metadata artist={1} -metadata "
      "comment={1} -metadata location=+12.3456+098.7654/ -metadata creation_time=2024-05-06T07:08:09Z "
      "-metadata "
      "copyright={1} -metadata:s:v:0 handler_name={1} -metadata:s:a:0 handler_name={1} -bsf:v "
      "h264_metadata=sei_user_data='086f3693-b7b3-4f2c-9653-21492feee5b8+{1}' -movflags use_metadata_tags "
      "'{2}'",
      folder / "plain.mp4", words, folder / "tagged.mp4");
  REQUIRE(std::system(command.c_str()) == 0);
  const auto before = WhatFileCarries(folder / "tagged.mp4");
  REQUIRE(before.ok());
  CHECK_FALSE(before->Clean());
  const auto tells = [&](const std::string& where) {
    return std::any_of(before->items.begin(), before->items.end(),
                       [&](const CarriedItem& item) { return item.where == where && !item.harmless; });
  };
  CHECK(tells("mvhd"));
  CHECK(tells("hdlr"));
  CHECK(tells("H.264 user data"));
  const std::string case_folder = NewCase(folder, "tagged.mp4");
  for (const char* name : {"clip.mp4", "clip.webm"}) {
    ClipPlan plan = PlanOf(0, 2, 1);
    plan.parts[0].text = "Part";
    const auto done = MakeClip(case_folder, plan, folder / name, {}, {}, {});
    INFO((done.ok() ? "" : done.error().message));
    REQUIRE(done.ok());
    REQUIRE(done->left_behind.size() == 1);  // what it carried is told, of the one recording
    for (const char* told : {"tagged.mp4", "mvhd", "H.264 user data", "SECRETNAME"})
      CHECK(done->left_behind[0].find(told) != std::string::npos);
    std::ifstream in(folder / name, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    for (const char* word : {"SECRETNAME", "+12.3456", "2024", "tagged"})
      CHECK(bytes.find(word) == std::string::npos);
    const auto after = WhatFileCarries(folder / name);
    REQUIRE(after.ok());
    for (const CarriedItem& item : after->items) {
      INFO(name << ": " << item.where << " " << item.what);
      CHECK(item.harmless);
    }
  }
}

TEST_CASE("A clip without consent, over a file, or stopped is not made", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 60);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  const ClipPlan plan = PlanOf(0, 2, 1);
  const auto fails = [&](const std::string& path, const ClipOptions& options, ErrorCode code,
                         const StopQuery& stop = {}) {
    const auto done = MakeClip(case_folder, plan, path, options, {}, stop);
    REQUIRE_FALSE(done.ok());
    CHECK(done.error().code == code);
  };
  ClipOptions published;
  published.purpose = "publication";
  fails(folder / "a.mp4", published, ErrorCode::kNotComputable);
  std::ofstream(folder / "there.mp4") << "mine";
  fails(folder / "there.mp4", {}, ErrorCode::kUnwritable);
  fails(folder / "clip.avi", {}, ErrorCode::kBadCall);
  int asked = 0;
  fails(folder / "b.mp4", {}, ErrorCode::kStopped, [&] { return ++asked > 20; });
  for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
    const std::string name = entry.path().filename();
    CHECK((name == "numbered.mp4" || name == "there.mp4" || name == "case" || name == "cache"));
  }

  CaseRecord record;
  record.consent = {{"local teaching", true, true, ""}};
  CHECK_FALSE(CheckConsent(record, "local teaching", "2026-01-01").ok());
  record.consent = {{"local teaching", true, false, "2025-12-31"}};
  CHECK_FALSE(CheckConsent(record, "local teaching", "2026-01-01").ok());
  CHECK(CheckConsent(record, "local teaching", "2025-12-31").ok());
  CHECK_FALSE(CheckConsent(record, "anything", "2025-12-31").ok());
}

TEST_CASE("A clip of recordings that are not there, of a day, or of endless words is refused", "[clip]") {
  const TemporaryFolder folder;
  WriteNumbered(folder / "numbered.mp4", 25);
  const std::string case_folder = NewCase(folder, "numbered.mp4");
  const auto refusal = [&](const ClipPlan& plan) {
    const auto done = MakeClip(case_folder, plan, folder / "clip.mp4", {}, {}, {});
    return done.ok() ? "" : done.error().message;
  };
  ClipPlan plan = PlanOf(0, 1, 1);
  plan.parts[0].end.recording = std::numeric_limits<int>::max();
  CHECK(refusal(plan).find("names recording 2147483647") != std::string::npos);
  plan.parts[0].end = {0, Pts{std::int64_t{1} << 60}};
  CHECK(refusal(plan).find("longer than a day") != std::string::npos);
  plan = PlanOf(0, 1, 1);
  plan.parts[0].text.assign(2001, 'x');
  CHECK(refusal(plan).find("2000 bytes") != std::string::npos);
}

}  // namespace afterscope
