// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/jobs/clip/clip_support.hpp"

#include "annotate/media/recording.hpp"
#include "annotate/media/sound_format.hpp"
#include "annotate/media/video_writer.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"
#include "metrics/picture/yuv_frame.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr int kBits = 20, kBlock = kNumberedWidth / kBits;

}  // namespace

void WriteNumbered(const std::string& path, int count) {
  VideoSettings video;
  video.width = kNumberedWidth;
  video.height = kNumberedHeight;
  video.time_base = {1, kNumberedRate};
  video.frame_rate = {kNumberedRate, 1};
  SoundSettings sound;
  sound.channels = 1;
  auto writer = VideoWriter::Create(path, video, sound);
  REQUIRE(writer.ok());
  for (int n = 0; n < count; ++n) {
    const auto frame = std::make_shared<YuvFrame>(kNumberedWidth, kNumberedHeight, ColorMatrix::kBt709);
    for (int y = 0; y < kNumberedHeight; ++y)
      for (int x = 0; x < kNumberedWidth; ++x)
        frame->y[static_cast<std::size_t>(y * kNumberedWidth + x)] = (n >> (x / kBlock)) & 1 ? 235 : 16;
    REQUIRE((*writer)->WritePicture(AsPicture(frame, {}), Pts{n}, TickSpan{1}).ok());
    // A click at the beginning of each whole second.
    std::vector<float> samples(48000 / kNumberedRate, 0.0f);
    if (n % kNumberedRate == 0) std::fill(samples.begin(), samples.begin() + 240, 0.8f);
    REQUIRE((*writer)->WriteSound(samples).ok());
  }
  REQUIRE((*writer)->Finish().ok());
}

int NumberIn(const Picture& picture) {
  int number = 0;
  for (int bit = 0; bit < kBits; ++bit) {
    const int x = (bit * kBlock + kBlock / 2) * picture.width / kNumberedWidth;
    const int y = picture.height / 2;
    if (picture.planes[0].data[picture.planes[0].stride * y + x] > 125) number |= 1 << bit;
  }
  return number;
}

CaseRecord RecordWith(const std::string& folder, const std::string& file) {
  CaseRecord record;
  record.code = "k-1";
  record.consent = {{"local teaching", true, false, ""}};
  Recording::Options options;
  options.cache_folder = folder + "/cache";
  const auto recording = Recording::Open(folder + "/" + file, options);
  REQUIRE(recording.ok());
  REQUIRE((*recording)->WaitForTable(TableState::kVerified, {}, {}).ok());
  RecordingRef ref;
  ref.path = "../" + file;
  ref.fingerprint = SampleFingerprint(folder + "/" + file).value();
  ref.shape = (*recording)->Shape();
  record.recordings = {ref};
  return record;
}

std::string NewCase(const TemporaryFolder& folder, const std::string& file) {
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, RecordWith(folder.path(), file)).ok());
  return path;
}

ClipPlan PlanOf(double from, double to, double speed) {
  ClipPlan plan;
  plan.width = kNumberedWidth;
  plan.height = kNumberedHeight;
  plan.rate = {kNumberedRate, 1};
  ClipPart part;
  part.start = {0, Pts{std::llround(from * 12800)}};  // MP4 of 25 a second: 12 800 ticks a second
  part.end = {0, Pts{std::llround(to * 12800)}};
  part.speed = speed;
  part.outlines = false;
  plan.parts = {part};
  return plan;
}

std::vector<int> NumbersIn(const std::string& path) {
  const auto recording = Recording::Open(path, {});
  REQUIRE(recording.ok());
  std::vector<int> numbers;
  REQUIRE((*recording)
              ->Sweep(Pts{0},
                      [&](const Picture& picture) {
                        numbers.push_back(NumberIn(picture));
                        return true;
                      },
                      {})
              .ok());
  return numbers;
}

std::vector<double> ClicksIn(const std::vector<float>& stereo, float height) {
  std::vector<double> clicks;
  for (std::size_t i = 0; i < stereo.size(); i += kSoundChannels) {
    const double at = static_cast<double>(i / kSoundChannels) / kSoundRate;
    if (std::abs(stereo[i]) >= height && (clicks.empty() || at > clicks.back() + 0.1)) clicks.push_back(at);
  }
  return clicks;
}

}  // namespace afterscope
