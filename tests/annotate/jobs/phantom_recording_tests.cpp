// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_recording.hpp"
#include "metrics/phantom/scene.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

using namespace afterscope;

namespace {

phantom::Scene SmallScene() {
  phantom::Scene scene = phantom::RandomScene(5, phantom::Difficulty::kUsual);
  scene.width = 320;
  scene.height = 240;
  scene.px_per_mm = 12;
  return scene;
}

int FramesByFfprobe(const std::string& file) {
  return std::stoi(OutputOf(
      "ffprobe -v error -select_streams v:0 -count_frames -show_entries stream=nb_read_frames -of csv=p=0 '" +
      file + "'"));
}

}  // namespace

TEST_CASE("a recorded phantom is found again frame by frame, in one file or two") {
  const TemporaryFolder folder;
  PhantomFormat format;
  format.variable_rate = GENERATE(false, true);
  const phantom::Phantom phantom(SmallScene());
  const std::vector<double> seconds = PhantomFrameTimes(3.0, format, 7);
  const std::vector<std::string> paths{folder / "a.mp4", folder / "b.mp4"};
  const auto starts = RecordPhantom(phantom, format, seconds, paths, {}, {});
  REQUIRE(starts.ok());
  CHECK(FramesByFfprobe(paths[0]) + FramesByFfprobe(paths[1]) == static_cast<int>(seconds.size()));
  const auto frames = ReadBackPhantom(seconds, *starts, paths, {});
  REQUIRE(frames.ok());
  REQUIRE(frames->refs.size() == seconds.size());
  for (std::size_t i = 0; i < seconds.size(); ++i) {
    const bool second = i >= (*starts)[1];
    const FrameRef at = frames->refs[i];
    REQUIRE(at.recording == (second ? 1 : 0));
    const RecordingShape& shape = frames->recordings[second ? 1 : 0].shape;
    const double expected = seconds[i] - seconds[second ? (*starts)[1] : 0];
    CHECK((at.pts - shape.first).Seconds(shape.time_base) == Approx(expected).margin(1.01 / 90000));
  }
  CHECK(frames->At(100).pts == frames->recordings[1].shape.end);
}

TEST_CASE("a phantom in interlaced MPEG-2") {
  const TemporaryFolder folder;
  phantom::Scene scene = SmallScene();
  scene.width = 720;
  scene.height = 576;
  scene.px_per_mm = 28;
  scene.pixel_aspect = {16, 15};
  scene.interlaced = true;
  PhantomFormat format;
  format.codec = WrittenVideo::kMpeg2;
  format.container = WrittenContainer::kMpegTs;
  const phantom::Phantom phantom(scene);
  const std::vector<double> seconds = PhantomFrameTimes(1.2, format, 7);
  const std::vector<std::string> paths{folder / "a.ts"};
  const auto starts = RecordPhantom(phantom, format, seconds, paths, {}, {});
  REQUIRE(starts.ok());
  const auto frames = ReadBackPhantom(seconds, *starts, paths, {});
  REQUIRE(frames.ok());
  CHECK(frames->refs.size() == 30);
  CHECK(frames->recordings[0].shape.pixel_aspect == Rational{16, 15});
}

TEST_CASE("stopping a recording leaves no file") {
  const TemporaryFolder folder;
  const phantom::Phantom phantom(SmallScene());
  const std::vector<double> seconds = PhantomFrameTimes(3.0, {}, 7);
  int asked = 0;
  const auto starts =
      RecordPhantom(phantom, {}, seconds, {folder / "a.mp4"}, {}, [&] { return ++asked > 20; });
  REQUIRE(!starts.ok());
  CHECK(starts.error().code == ErrorCode::kStopped);
  CHECK(std::filesystem::is_empty(folder.path()));
}
