// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/recording_impl.hpp"

#include "annotate/media/shared_picture.hpp"
#include "annotate/media/table_builder.hpp"
#include "annotate/media/table_store.hpp"
#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace afterscope {
namespace {

constexpr auto kAskStopEvery = std::chrono::milliseconds(20);

}  // namespace

Result<std::unique_ptr<Recording>> Recording::Open(const std::string& path, const Options& options,
                                                   const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(RegularFile file, LookAtRegularFile(path));
  HelperTask task{file.absolute_path, options.limits, options.limits.decode_threads, false, false, {}};
  auto reader = std::make_unique<ExactReader>(std::move(task), options.recording_number);
  AFTERSCOPE_TRY(reader->Prepare(stop));
  return std::unique_ptr<Recording>(new OpenRecording(std::move(file), options, std::move(reader)));
}

OpenRecording::OpenRecording(RegularFile file, Options options, std::unique_ptr<ExactReader> reader)
    : file_(std::move(file)),
      options_(std::move(options)),
      info_(reader->file().info),
      opened_(reader->file()),
      data_(TableFromIndex(reader->file())) {
  info_.path = file_.absolute_path;
  info_.file_bytes = file_.size;
  opened_.index.clear();
  worker_ = std::make_unique<PictureWorker>(
      std::move(reader), data_, options_.cache_bytes > 0 ? options_.cache_bytes : DefaultCacheBytes());
  if (options_.build_table) table_thread_ = std::thread([this] { BuildInBackground(); });
}

OpenRecording::~OpenRecording() {
  closing_ = true;
  if (table_thread_.joinable()) table_thread_.join();
}

HelperTask OpenRecording::Task() const {
  return {file_.absolute_path, options_.limits, options_.limits.decode_threads, false, false, {}};
}

std::shared_ptr<const TableData> OpenRecording::Data() const {
  const std::lock_guard lock(mutex_);
  return data_;
}

std::shared_ptr<const FrameTable> OpenRecording::table() const {
  const auto data = Data();
  return {data, &data->table};
}

void OpenRecording::Publish(std::shared_ptr<const TableData> data) {
  worker_->Use(data);
  {
    const std::lock_guard lock(mutex_);
    data_ = std::move(data);
  }
  changed_.notify_all();
}

Result<std::shared_ptr<const TableData>> OpenRecording::KeptOrBuilt() {
  const TableStore kept(options_.cache_folder, RealFileSystem());
  const std::string key = TableKey(file_);
  if (auto data = kept.Load(key, opened_)) return data;
  HelperTask task = Task();
  task.background = true;
  auto built = BuildTable(
      std::move(task), [this](auto data) { Publish(std::move(data)); },
      [this](double share) {
        const std::lock_guard lock(mutex_);
        table_progress_ = share;
      },
      [] { return PictureWorker::AnyHungry(); }, [this] { return closing_.load(); });
  if (built.ok()) kept.Save(key, **built);
  return built;
}

void OpenRecording::BuildInBackground() {
  auto built = KeptOrBuilt();
  if (built.ok()) return Publish(std::move(*built));
  {
    const std::lock_guard lock(mutex_);
    table_error_ = built.error();
  }
  changed_.notify_all();
}

Result<std::shared_ptr<const FrameTable>> OpenRecording::WaitForTable(TableState state,
                                                                      const Progress& progress,
                                                                      const StopQuery& stop) {
  if (!options_.build_table && table()->state() < state)
    return Error{ErrorCode::kBadCall,
                 fmt::format("The frame table of '{}' is not being built.", file_.absolute_path)};
  for (;;) {
    double share = 0;
    {
      std::unique_lock lock(mutex_);
      changed_.wait_for(lock, kAskStopEvery, [&] { return data_->table.state() >= state || table_error_; });
      if (data_->table.state() >= state) return std::shared_ptr<const FrameTable>(data_, &data_->table);
      if (table_error_) return *table_error_;
      share = table_progress_;
    }
    Report(progress, share);
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped."};
  }
}

Result<Picture> OpenRecording::Frame(Pts pts, const StopQuery& stop) { return worker_->Fetch(pts, stop); }

Error OpenRecording::NoSuchFrame(FrameIndex index, std::int64_t count) const {
  return {ErrorCode::kBadCall,
          fmt::format("'{}' has no frame {}; it has {}.", file_.absolute_path, index.value, count)};
}

Result<Picture> OpenRecording::Frame(FrameIndex index, const StopQuery& stop) {
  const auto data = Data();
  if (index.value < 0 || index.value >= data->table.size()) return NoSuchFrame(index, data->table.size());
  return worker_->Fetch(data->table[index].pts, stop);
}

void OpenRecording::Request(Pts pts, Priority priority, Ready ready) {
  worker_->Request(pts, priority, std::move(ready));
}

Status OpenRecording::Sweep(Pts from, const std::function<bool(const Picture&)>& visit,
                            const StopQuery& stop) {
  const PictureWorker::Hungry hungry;  // the table can wait
  ExactReader reader(Task(), options_.recording_number);
  AFTERSCOPE_TRY(reader.Prepare(stop));
  const auto data = Data();
  reader.Use(data);
  AFTERSCOPE_ASSIGN(ReadFrame first, reader.Reach(from, {}, stop));
  reader.CheckEveryFrame(data->verified() && from > data->table.begin());
  bool kept = false;  // the visitor keeps pictures: then they must not hold up the helper
  std::optional<ReadFrame> frame = std::move(first);
  while (frame) {
    if (kept) frame->picture = OwnCopy(frame->picture);
    const auto owners = frame->picture.owner.use_count();
    if (!visit(frame->picture)) break;
    kept = kept || frame->picture.owner.use_count() > owners;
    frame.reset();
    AFTERSCOPE_ASSIGN(frame, reader.Next(stop));
  }
  return {};
}

Result<SoundBlock> OpenRecording::Sound(std::int64_t first, std::int64_t count, const StopQuery& stop) {
  SoundBlock block{first, {}};
  if (!info_.sound) return block;
  const std::lock_guard lock(sounding_);
  std::vector<ClockTurn> turns = ClockTurns(*Data());
  if (!sound_ || turns != sound_turns_) {
    sound_turns_ = turns;
    HelperTask task = Task();
    task.turns = std::move(turns);
    sound_ = std::make_unique<SoundSource>(std::move(task));
  }
  AFTERSCOPE_ASSIGN(block.samples, sound_->Read(SoundOrigin(Shape()) + first, count, stop));
  return block;
}

Result<std::string> OpenRecording::FrameHash(Pts pts, const StopQuery& stop) {
  const std::lock_guard lock(hashing_);
  if (!hash_reader_) hash_reader_ = std::make_unique<ExactReader>(Task(), options_.recording_number);
  hash_reader_->Use(Data());
  AFTERSCOPE_ASSIGN(const ReadFrame frame, hash_reader_->Reach(pts, {}, stop));
  return hash_reader_->Md5(frame, stop);
}

Result<std::string> OpenRecording::FrameHash(FrameIndex index, const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const auto table, WaitForTable(TableState::kVerified, {}, stop));
  if (index.value < 0 || index.value >= table->size()) return NoSuchFrame(index, table->size());
  return FrameHash((*table)[index].pts, stop);
}

RecordingShape OpenRecording::Shape() const {
  const auto data = Data();
  RecordingShape shape;
  shape.time_base = info_.time_base;
  shape.width = info_.width;
  shape.height = info_.height;
  shape.pixel_aspect = info_.pixel_aspect;
  shape.rotation_deg = info_.rotation_deg;
  shape.verified = data->verified();
  if (!data->table.empty()) {
    shape.first = data->table.begin();
    shape.end = data->table.end();
    shape.frame = data->table.UsualInterval();
  } else {
    shape.first = {opened_.start_ticks == kNoTicks ? 0 : opened_.start_ticks};
    const double seconds = info_.declared_seconds.value_or(0);
    shape.end = shape.first + TickSpan{static_cast<std::int64_t>(seconds / info_.time_base.value())};
  }
  return shape;
}

}  // namespace afterscope
