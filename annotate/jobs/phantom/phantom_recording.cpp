// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/phantom_recording.hpp"

#include "annotate/jobs/phantom/phantom_sound.hpp"
#include "annotate/media/recording.hpp"
#include "metrics/phantom/random.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace afterscope {
namespace {

constexpr int kSampleRate = 24000;
constexpr std::int64_t kTicks = 90000;  // a second, of H.264 files

VideoSettings SettingsOf(const phantom::Scene& scene, const PhantomFormat& format) {
  VideoSettings settings;
  settings.codec = format.codec;
  settings.container = format.container;
  settings.width = scene.width;
  settings.height = scene.height;
  const bool mpeg2 = format.codec == WrittenVideo::kMpeg2;
  settings.time_base = mpeg2 ? Rational{format.frame_rate.den, format.frame_rate.num} : Rational{1, kTicks};
  settings.frame_rate = format.frame_rate;
  settings.pixel_aspect = scene.pixel_aspect;
  settings.matrix = scene.matrix;
  settings.fields = scene.interlaced ? FieldOrder::kTopFirst : FieldOrder::kProgressive;
  settings.preset = format.preset;
  settings.crf = format.crf;
  settings.bit_rate = format.bit_rate;
  // The last picture's own duration is kept only where pictures are stored in the order they are shown.
  if (format.variable_rate) settings.b_pictures = 0;
  settings.key_interval = mpeg2 ? 12 : 50;
  return settings;
}

SoundSettings SoundOf() { return {kSampleRate, 1, 48000}; }

// One file: frames [first, last).
class FileRecorder {
 public:
  FileRecorder(const phantom::Phantom& phantom, const PhantomFormat& format,
               const std::vector<double>& seconds)
      : phantom_(phantom),
        format_(format),
        seconds_(seconds),
        sound_(phantom.script(), kSampleRate, phantom.scene().seed) {}

  Status Record(const std::string& path, std::size_t first, std::size_t last, const Progress& progress,
                const StopQuery& stop, FileSystem& files) {
    AFTERSCOPE_ASSIGN(const std::unique_ptr<VideoWriter> writer,
                      VideoWriter::Create(path, SettingsOf(phantom_.scene(), format_), SoundOf(), files));
    const double start = seconds_[first];
    const std::int64_t origin = SampleAt(start);
    std::int64_t sample = origin;
    for (std::size_t i = first; i < last; ++i) {
      if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped while a recording was made."};
      const double end = EndOf(i, last);
      const std::int64_t pts = TicksAt(seconds_[i] - start, i - first);
      const std::int64_t next = TicksAt(end - start, i - first + 1);
      AFTERSCOPE_TRY(writer->WritePicture(phantom_.Render(seconds_[i], brush_), {pts}, {next - pts}));
      const auto count = static_cast<int>(SampleAt(end) - sample);
      AFTERSCOPE_TRY(writer->WriteSound(sound_.Samples(sample, count)));
      sample += count;
      Report(progress, static_cast<double>(i + 1) / static_cast<double>(seconds_.size()));
    }
    return writer->Finish();
  }

 private:
  // The last frame of a file lasts as long as the one before.
  double EndOf(std::size_t i, std::size_t last) const {
    return i + 1 < last ? seconds_[i + 1] : 2 * seconds_[i] - seconds_[i - 1];
  }
  static std::int64_t SampleAt(double seconds) { return std::llround(seconds * kSampleRate); }
  std::int64_t TicksAt(double seconds, std::size_t number) const {
    if (format_.codec == WrittenVideo::kMpeg2) return static_cast<std::int64_t>(number);
    return std::llround(seconds * static_cast<double>(kTicks));
  }

  const phantom::Phantom& phantom_;
  const PhantomFormat& format_;
  const std::vector<double>& seconds_;
  PhantomSound sound_;
  phantom::Phantom::Brush brush_;
};

Result<RecordingRef> ReadBack(const std::string& path, int number, std::size_t frames,
                              std::vector<FrameRef>& refs, const StopQuery& stop) {
  Recording::Options options;
  options.recording_number = number;
  options.limits.decode_threads = 1;
  AFTERSCOPE_ASSIGN(const std::unique_ptr<Recording> recording, Recording::Open(path, options));
  AFTERSCOPE_ASSIGN(const std::shared_ptr<const FrameTable> table,
                    recording->WaitForTable(TableState::kFromPackets, {}, stop));
  if (table->size() != static_cast<std::int64_t>(frames))
    return Error{ErrorCode::kUnreadable,
                 fmt::format("The recording {} holds {} frames instead of the {} that were written.", path,
                             table->size(), frames)};
  for (const FrameEntry& entry : table->frames()) refs.push_back({number, entry.pts});
  RecordingRef ref;
  ref.path = path;
  ref.shape = recording->Shape();
  return ref;
}

}  // namespace

std::vector<double> PhantomFrameTimes(double seconds, const PhantomFormat& format, std::uint64_t seed) {
  const double interval = 1 / format.frame_rate.value();
  std::vector<double> times;
  if (!format.variable_rate) {
    for (int i = 0; i * interval < seconds - 1e-9; ++i) times.push_back(i * interval);
    return times;
  }
  phantom::Random random = phantom::Random(seed).Fork(301);
  for (double t = 0; t < seconds;) {
    times.push_back(std::round(t * static_cast<double>(kTicks)) / static_cast<double>(kTicks));
    const double early_or_late = random.Between(0.85, 1.15);
    t += interval * early_or_late * (random.Uniform() < 0.06 ? 2 : 1);
  }
  return times;
}

Result<std::vector<std::size_t>> RecordPhantom(const phantom::Phantom& phantom, const PhantomFormat& format,
                                               const std::vector<double>& frame_seconds,
                                               const std::vector<std::string>& paths,
                                               const Progress& progress, const StopQuery& stop,
                                               FileSystem& files) {
  if (paths.empty() || frame_seconds.size() < 2 * paths.size())
    return Error{ErrorCode::kBadCall,
                 "A recording of a phantom needs at least two frames and a file to write them to."};
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < paths.size(); ++i) starts.push_back(i * frame_seconds.size() / paths.size());
  AFTERSCOPE_TRY(RecordPhantom(phantom, format, frame_seconds, starts, paths, progress, stop, files));
  return starts;
}

Status RecordPhantom(const phantom::Phantom& phantom, const PhantomFormat& format,
                     const std::vector<double>& frame_seconds, const std::vector<std::size_t>& starts,
                     const std::vector<std::string>& paths, const Progress& progress, const StopQuery& stop,
                     FileSystem& files) {
  for (std::size_t i = 0; i < paths.size(); ++i) {
    const std::size_t last = i + 1 < paths.size() ? starts[i + 1] : frame_seconds.size();
    FileRecorder recorder(phantom, format, frame_seconds);
    AFTERSCOPE_TRY(recorder.Record(paths[i], starts[i], last, progress, stop, files));
  }
  return {};
}

std::size_t PhantomFrames::IndexAt(double instant) const {
  const auto at = std::lower_bound(seconds.begin(), seconds.end(), instant - 1e-7);
  return static_cast<std::size_t>(at - seconds.begin());
}

std::optional<double> PhantomFrames::SecondsOf(FrameRef at) const {
  const auto found = std::lower_bound(refs.begin(), refs.end(), at);
  if (found == refs.end() || *found != at) return std::nullopt;
  return seconds[static_cast<std::size_t>(found - refs.begin())];
}

FrameRef PhantomFrames::At(double instant) const {
  const std::size_t i = IndexAt(instant);
  if (i < refs.size()) return refs[i];
  return {static_cast<int>(recordings.size()) - 1, recordings.back().shape.end};
}

Result<PhantomFrames> ReadBackPhantom(const std::vector<double>& frame_seconds,
                                      const std::vector<std::size_t>& starts,
                                      const std::vector<std::string>& paths, const StopQuery& stop) {
  PhantomFrames frames;
  frames.seconds = frame_seconds;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    const std::size_t last = i + 1 < paths.size() ? starts[i + 1] : frame_seconds.size();
    AFTERSCOPE_ASSIGN(RecordingRef ref,
                      ReadBack(paths[i], static_cast<int>(i), last - starts[i], frames.refs, stop));
    frames.recordings.push_back(std::move(ref));
  }
  return frames;
}

}  // namespace afterscope
