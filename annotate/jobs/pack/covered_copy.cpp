// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/pack/covered_copy.hpp"

#include "annotate/media/video_writer.hpp"
#include "metrics/picture/yuv_frame.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace afterscope {
namespace {

constexpr double kMostWidth = 1280;
constexpr double kMostHeight = 720;

int Even(double size) { return std::max(16, 2 * static_cast<int>(std::floor(size / 2))); }

VideoSettings SettingsFor(const Recording& recording, const CoveredCopy& copy, int quality) {
  VideoSettings settings;
  settings.width = Even(copy.shown.Width() * copy.scale);
  settings.height = Even(copy.shown.Height() * copy.scale);
  settings.time_base = copy.original.time_base;
  if (recording.info().declared_rate.valid()) settings.frame_rate = recording.info().declared_rate;
  settings.crf = quality;
  settings.threads = 0;
  return settings;
}

// What stands at the copy's edges, so that a picture goes over without being stretched.
SeenPart SeenIn(const VideoSettings& settings, const CoveredCopy& copy) {
  return {0, 0, settings.width / copy.scale, settings.height / copy.scale};
}

Status WritePictures(Recording& recording, std::span<const CoverArea> covers, const CoveredCopy& copy,
                     const VideoSettings& settings, VideoWriter& writer, const Progress& progress,
                     const StopQuery& stop) {
  const Pts first = copy.original.first;
  const double ticks = std::max(1.0, static_cast<double>((copy.original.end - first).ticks));
  Status written;
  AFTERSCOPE_TRY(recording.Sweep(
      first,
      [&](const Picture& picture) {
        const auto frame = std::make_shared<YuvFrame>(settings.width, settings.height, settings.matrix);
        DrawPicture(Covered(picture, covers), SeenIn(settings, copy), *frame);
        const TickSpan since = picture.frame.pts - first;
        written = writer.WritePicture(AsPicture(frame, picture.frame), Pts{since.ticks}, picture.duration);
        if (progress) progress(static_cast<double>(since.ticks) / ticks);
        return written.ok();
      },
      stop));
  return written;
}

}  // namespace

Pts CoveredCopy::PlaceOf(Pts original_pts) const {
  if (!(original_pts < original.end)) return copy.end;
  const auto since = RescaleTicks((original_pts - original.first).ticks, original.time_base, copy.time_base,
                                  Rounding::kNearest);
  return {copy.first.ticks + since.value_or(0)};
}

PointPx CoveredCopy::SpotOf(PointPx original_px) const {
  const ShownPicture::Spot spot = shown.FromPx(original_px);
  return {spot.x * scale - 0.5, spot.y * scale - 0.5};
}

Result<CoveredCopy> WriteCoveredCopy(Recording& recording, std::span<const CoverArea> covers,
                                     const std::string& path, int quality, const Progress& progress,
                                     const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const auto table, recording.WaitForTable(TableState::kVerified, {}, stop));
  CoveredCopy copy;
  copy.original = recording.Shape();
  copy.shown = ShownPicture::Of(copy.original.width, copy.original.height, copy.original.pixel_aspect,
                                copy.original.rotation_deg);
  copy.scale = std::min({1.0, kMostWidth / copy.shown.Width(), kMostHeight / copy.shown.Height()});
  const VideoSettings settings = SettingsFor(recording, copy, quality);
  AFTERSCOPE_ASSIGN(const auto writer, VideoWriter::Create(path, settings, std::nullopt, files));
  AFTERSCOPE_TRY(WritePictures(recording, covers, copy, settings, *writer, progress, stop));
  AFTERSCOPE_TRY(writer->Finish());

  Recording::Options options;
  options.recording_number = 0;
  AFTERSCOPE_ASSIGN(const auto written, Recording::Open(path, options));
  AFTERSCOPE_ASSIGN(const auto copied, written->WaitForTable(TableState::kVerified, {}, stop));
  if (copied->size() != table->size())
    return Error{ErrorCode::kNotComputable,
                 fmt::format("The copy of '{}' holds {} frames instead of {}; it can't stand for it.",
                             recording.info().path, copied->size(), table->size())};
  copy.copy = written->Shape();
  return copy;
}

}  // namespace afterscope
