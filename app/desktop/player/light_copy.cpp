// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/light_copy.hpp"

#include "annotate/media/background_pictures.hpp"
#include "annotate/media/video_writer.hpp"
#include "annotate/platform/helper_process.hpp"
#include "metrics/picture/shrink.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <thread>

namespace afterscope {
namespace {

constexpr int kMostWidth = 640;
constexpr int kKeyInterval = 10;
constexpr int kCrf = 28;
// What lies between two key frames, from which on a jump is felt as waiting: two seconds of 1080p30.
constexpr double kManyPixels = 2.0 * 30 * 1920 * 1080;
constexpr double kBytesPerSecond = 150e3;  // measured on noisy moving pictures of that width
constexpr std::int64_t kCacheBytes = 24LL << 20;

VideoSettings SettingsFor(const Recording& recording, const Picture& small) {
  VideoSettings settings;
  settings.width = small.width;
  settings.height = small.height;
  settings.format = small.format;
  settings.time_base = recording.info().time_base;
  if (recording.info().declared_rate.valid()) settings.frame_rate = recording.info().declared_rate;
  settings.pixel_aspect = small.pixel_aspect;
  settings.matrix = small.matrix;
  settings.range = small.range;
  settings.preset = "ultrafast";
  settings.crf = kCrf;
  settings.key_interval = kKeyInterval;
  settings.b_pictures = 0;
  return settings;
}

}  // namespace

bool LightCopy::IsWorthwhile(const Recording& recording) {
  const auto table = recording.table();
  if (table->empty()) return false;
  std::int64_t keys = 0;
  for (const FrameEntry& frame : table->frames()) keys += frame.key ? 1 : 0;
  const double frames_between =
      static_cast<double>(table->size()) / static_cast<double>(std::max<std::int64_t>(1, keys));
  return frames_between * recording.info().width * recording.info().height >= kManyPixels;
}

std::int64_t LightCopy::ExpectedBytes(const Recording& recording) {
  const RecordingShape shape = recording.Shape();
  return static_cast<std::int64_t>((shape.end - shape.first).Seconds(shape.time_base) * kBytesPerSecond);
}

Status LightCopy::Make(const Recording& recording, const std::string& path, const Progress& progress,
                       const StopQuery& stop) {
  const RecordingShape shape = recording.Shape();
  const Pts first = shape.first;
  const auto length = static_cast<double>(std::max<std::int64_t>(1, (shape.end - first).ticks));
  std::unique_ptr<VideoWriter> writer;
  Status written;
  const auto write = [&](const Picture& picture) {
    const Picture small = ShrinkPicture(picture, kMostWidth);
    if (!writer) {
      auto created = VideoWriter::Create(path, SettingsFor(recording, small), std::nullopt);
      if (!created.ok()) written = created.error();
      if (created.ok()) writer = std::move(*created);
    }
    Report(progress, static_cast<double>((picture.frame.pts - first).ticks) / length);
    if (writer) written = writer->WritePicture(small, {(picture.frame.pts - first).ticks}, picture.duration);
    return written.ok() && !Stopped(stop);
  };
  Status swept;
  std::thread encoding([&] {
    YieldToOthers();
    swept = SweepBehind(recording, first, write, stop);
  });
  encoding.join();
  if (!swept.ok()) return swept.error();
  if (!written.ok()) return written.error();
  if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped."};
  if (!writer)
    return Error{ErrorCode::kUnreadable, fmt::format("'{}' has no frames.", recording.info().path)};
  return writer->Finish();
}

Result<std::unique_ptr<LightCopy>> LightCopy::Open(const Recording& recording, const std::string& path) {
  Recording::Options options;
  options.build_table = false;
  options.cache_bytes = kCacheBytes;
  AFTERSCOPE_ASSIGN(auto copy, Recording::Open(path, options));
  return std::unique_ptr<LightCopy>(new LightCopy(std::move(copy), recording));
}

LightCopy::LightCopy(std::unique_ptr<Recording> copy, const Recording& recording)
    : copy_(std::move(copy)),

      first_(recording.Shape().first),
      scale_(recording.info().time_base.value() / copy_->info().time_base.value()) {}

std::optional<Picture> LightCopy::Nearest(Pts pts, const std::function<void()>& wake) {
  const Pts wanted{std::llround(static_cast<double>((pts - first_).ticks) * scale_)};
  auto picture = copy_->Cached(wanted);
  if (!picture) {
    if (asked_ != wanted) copy_->Request(wanted, Priority::kShow, [wake](const Result<Picture>&) { wake(); });
    asked_ = wanted;
    picture = copy_->NearestCached(wanted);
  }
  if (!picture) return std::nullopt;
  picture->frame.pts.ticks =
      first_.ticks + std::llround(static_cast<double>(picture->frame.pts.ticks) / scale_);
  return picture;
}

}  // namespace afterscope
