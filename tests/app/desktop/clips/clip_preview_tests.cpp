// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_source.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"
#include "app/desktop/clips/clip_preview.hpp"
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>

#include <cstring>

namespace afterscope {
namespace {

// Two seconds of a recording, from its first second on, with a heading.
ClipPlan PlanOf(const RecordingShape& shape) {
  ClipPlan plan;
  plan.name = "clip";
  plan.width = 320;
  plan.height = 240;
  ClipPart part;
  const auto second = static_cast<std::int64_t>(1 / shape.time_base.value() + 0.5);
  part.start = {0, shape.first + TickSpan{second}};
  part.end = {0, shape.first + TickSpan{3 * second}};
  part.text = "Rhexis";
  plan.parts = {part};
  return plan;
}

std::string CaseWith(const TemporaryFolder& folder, RecordingShape& shape) {
  const std::string file = MovingRecording(folder, "moving.mp4", 4);
  const auto recording = Opened(file, folder / "cache");
  shape = recording->Shape();
  CaseRecord record;
  RecordingRef ref;
  ref.path = "../moving.mp4";
  ref.fingerprint = SampleFingerprint(file).value();
  ref.shape = shape;
  record.recordings = {ref};
  REQUIRE(CaseSession::Create(folder / "case", record).ok());
  return folder / "case";
}

// The frame as the export draws it before it is encoded.
std::vector<std::uint8_t> ExportedLuma(const std::string& folder, const ClipPlan& plan, std::int64_t n) {
  auto source = ClipSource::Open(folder, plan, RealFileSystem());
  REQUIRE(source.ok());
  const ClipSchedule schedule(plan, source->Clocks());
  const ClipInstant instant = schedule.At(n);
  YuvFrame frame(plan.width, plan.height, ColorMatrix::kBt709);
  REQUIRE(source
              ->Pictures(0, {instant.case_seconds},
                         [&](const Picture& picture) {
                           DrawClipFrame(plan, schedule, instant, source->CaseOf(0), picture, frame);
                           return Status();
                         },
                         {})
              .ok());
  return frame.y;
}

bool SameLuma(const Picture& picture, const std::vector<std::uint8_t>& luma) {
  for (int y = 0; y < picture.height; ++y)
    if (std::memcmp(picture.planes[0].data + picture.planes[0].stride * y, luma.data() + y * picture.width,
                    static_cast<std::size_t>(picture.width)) != 0)
      return false;
  return true;
}

}  // namespace

TEST_CASE("The preview shows the frames of the export, to the pixel", "[clips]") {
  const TemporaryFolder folder;
  RecordingShape shape;
  const std::string case_folder = CaseWith(folder, shape);
  const ClipPlan plan = PlanOf(shape);
  ClipPreview preview([] {});
  preview.Open(case_folder, plan);
  REQUIRE(ComesTrue([&] { return !preview.shown().picture.empty(); }));
  CHECK(preview.shown().frames == 50);
  CHECK(preview.shown().total_s == Approx(2));
  CHECK(preview.shown().frame == 0);
  CHECK(SameLuma(preview.shown().picture, ExportedLuma(case_folder, plan, 0)));
  preview.StepBy(30);
  REQUIRE(ComesTrue([&] { return preview.shown().frame == 30; }));
  CHECK(SameLuma(preview.shown().picture, ExportedLuma(case_folder, plan, 30)));
}

TEST_CASE("The preview plays to the end of the plan and rests on its last frame", "[clips]") {
  const TemporaryFolder folder;
  RecordingShape shape;
  const std::string case_folder = CaseWith(folder, shape);
  ClipPlan plan = PlanOf(shape);
  ClipPart title;
  title.kind = ClipPartKind::kTitle;
  title.seconds = 1;
  title.text = "The flap";
  plan.parts.insert(plan.parts.begin(), title);
  ClipPreview preview([] {});
  preview.Open(case_folder, plan);
  REQUIRE(ComesTrue([&] { return !preview.shown().picture.empty(); }));
  preview.TogglePlay();
  REQUIRE(ComesTrue([&] { return preview.shown().part == 1; }));
  REQUIRE(ComesTrue([&] { return preview.shown().frame == 74 && !preview.shown().playing; }));
  CHECK(preview.shown().problem.empty());
  preview.Close();
  CHECK_FALSE(preview.open());
}

TEST_CASE("A preview that can't be made says why", "[clips]") {
  const TemporaryFolder folder;
  ClipPreview preview([] {});
  preview.Open(folder.path(), {});
  CHECK(ComesTrue([&] { return preview.shown().problem == "The clip has no parts."; }));
}

}  // namespace afterscope
