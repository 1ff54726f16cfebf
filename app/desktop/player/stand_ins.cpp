// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/stand_ins.hpp"

#include "annotate/media/background_pictures.hpp"
#include "annotate/media/picture_cache.hpp"
#include "annotate/media/small_picture_file.hpp"
#include "annotate/media/table_store.hpp"
#include "app/desktop/player/light_copy.hpp"
#include "metrics/picture/shrink.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>

namespace afterscope {
namespace {

constexpr int kSmallWidth = 320;
constexpr int kSmallCount = 256;   // at least, where there is room
constexpr double kSmallApart = 5;  // seconds, at most, where there is room
constexpr double kNearEnd = 1;     // seconds: a picture so near to it stands in for the end
constexpr std::int64_t kMostSmallBytes = kMostSmallPictureBytes - (1LL << 20);  // so that they can be kept
constexpr std::int64_t kMostLightBytes = 1LL << 30;  // of all light copies in a cache folder
constexpr const char* kLightEnding = ".light.mp4";

std::int64_t LightBytes(FileSystem& files, const std::string& folder) {
  std::int64_t bytes = 0;
  if (const auto names = files.List(folder); names.ok())
    for (const std::string& name : *names)
      if (const auto info =
              name.ends_with(kLightEnding) ? files.Stat(fmt::format("{}/{}", folder, name)) : FileInfo{};
          info.ok())
        bytes += info->size;
  return bytes;
}

bool IsThere(FileSystem& files, const std::string& path) {
  const auto info = files.Stat(path);
  return info.ok() && info->type == FileType::kRegular;
}

}  // namespace

// What stands in for the frames of one recording.
struct StandIns::Of {
  std::shared_ptr<Recording> recording;
  int number = 0;
  std::string folder;
  std::string key;  // the working thread's own
  std::atomic<bool> dropped{false};

  std::mutex mutex;
  PictureCache small{kMostSmallBytes};
  std::unique_ptr<LightCopy> light;

  // False where there is no room for more but for the last frame's.
  bool Put(const Picture& picture) {
    const std::lock_guard lock(mutex);
    small.Put(picture, 0, false);
    return small.bytes() + 2 * small.PictureBytes() <= small.budget();
  }
  bool ReachesEnd() {
    const RecordingShape shape = recording->Shape();
    const std::lock_guard lock(mutex);
    const auto last = small.Nearest(shape.end);
    return last && (shape.end - last->frame.pts).Seconds(shape.time_base) <= kNearEnd;
  }
  std::vector<Picture> All() {
    std::vector<Picture> all;
    const std::lock_guard lock(mutex);
    small.Review([&all](const Picture& picture, std::uint64_t) {
      all.push_back(picture);
      return true;
    });
    return all;
  }
};

std::vector<Pts> CoarseToFine(Pts first, Pts end, int count) {
  std::vector<Pts> places;
  const auto length = static_cast<double>((end - first).ticks);
  if (length <= 0) return places;
  for (int parts = 1; static_cast<int>(places.size()) < count; parts *= 2)
    for (int i = parts == 1 ? 0 : 1; i < parts; i += 2)
      places.push_back({first.ticks + static_cast<std::int64_t>(length * i / parts)});
  return places;
}

StandIns::StandIns(std::function<void()> wake) : wake_(std::move(wake)), thread_([this] { Run(); }) {}

StandIns::~StandIns() {
  Clear();
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void StandIns::Add(std::shared_ptr<Recording> recording, int number, const std::string& cache_folder) {
  const auto of = std::make_shared<Of>();
  of->recording = std::move(recording);
  of->number = number;
  of->folder = cache_folder;
  all_.push_back(of);
  {
    const std::lock_guard lock(mutex_);
    wants_small_.push_back(of);
    small_wanted_ = true;
    if (!cache_folder.empty()) wants_light_.push_back(of);
  }
  changed_.notify_all();
}

void StandIns::Clear() {
  {
    const std::lock_guard lock(mutex_);
    for (auto& of : all_) {
      of->dropped = true;
      leaving_.push_back(std::move(of));
    }
    wants_small_.clear();
    wants_light_.clear();
  }
  all_.clear();
  changed_.notify_all();
}

std::optional<Picture> StandIns::Nearest(FrameRef at) const {
  const auto found =
      std::find_if(all_.begin(), all_.end(), [&](const auto& of) { return of->number == at.recording; });
  if (found == all_.end()) return std::nullopt;
  Of& of = **found;
  const std::lock_guard lock(of.mutex);
  auto best = of.small.Nearest(at.pts);
  auto light = of.light ? of.light->Nearest(at.pts, wake_) : std::nullopt;
  const auto away = [&](const Picture& picture) { return std::abs((picture.frame.pts - at.pts).ticks); };
  if (light && (!best || away(*light) < away(*best))) best = std::move(light);
  if (best) best->frame.recording = of.number;
  return best;
}

void StandIns::Run() {
  std::unique_lock lock(mutex_);
  for (;;) {
    changed_.wait(lock, [this] {
      return closing_ || !leaving_.empty() || !wants_small_.empty() || !wants_light_.empty();
    });
    auto leaving = std::exchange(leaving_, {});
    const bool small = !wants_small_.empty();
    auto& line = small ? wants_small_ : wants_light_;
    std::shared_ptr<Of> next;
    if (!line.empty()) {
      next = line.front();
      line.pop_front();
    }
    small_wanted_ = !wants_small_.empty();
    if (closing_ && !next && leaving.empty()) return;
    lock.unlock();
    leaving.clear();
    bool done = true;
    if (next && small) MakeSmall(*next);
    if (next && !small) done = MakeLight(*next);
    lock.lock();
    if (!done && !next->dropped) wants_light_.push_back(next);
    if (next) leaving_.push_back(std::move(next));
  }
}

JobHandle StandIns::Work() const {
  const std::lock_guard lock(mutex_);
  return work_ && !work_->ended() ? work_ : nullptr;
}

JobHandle StandIns::BeginWork(const std::string& what) {
  auto work = std::make_shared<JobTicket>(what);
  work->Begin();
  const std::lock_guard lock(mutex_);
  return work_ = work;
}

void StandIns::MakeSmall(Of& of) {
  const auto file = LookAtRegularFile(of.recording->info().path);
  if (!file.ok()) return;
  of.key = TableKey(*file);
  const bool keeps = !of.folder.empty() && !of.key.empty();
  auto kept =
      keeps ? LoadSmallPictures(RealFileSystem(), of.folder, of.key, of.number) : std::vector<Picture>{};
  for (const Picture& picture : kept) of.Put(picture);
  wake_();
  if (!kept.empty() && of.ReachesEnd()) return;
  if (MakeMissing(of, !kept.empty()) && keeps)
    SaveSmallPictures(RealFileSystem(), of.folder, of.key, of.All());
}

// False where it failed or was stopped.
bool StandIns::MakeMissing(Of& of, bool has_key_frames) {
  const RecordingShape shape = of.recording->Shape();
  const double seconds = (shape.end - shape.first).Seconds(shape.time_base);
  const int count = std::max(kSmallCount, static_cast<int>(std::min(1e4, seconds / kSmallApart)));
  const std::vector<Pts> places =
      has_key_frames ? std::vector<Pts>{} : CoarseToFine(shape.first, shape.end, count);
  const JobHandle work = BeginWork("Making small pictures");
  const StopQuery stop = [&] { return of.dropped || work->stop_asked(); };
  std::size_t made = 0;
  const auto put = [&](const Picture& picture) {
    const bool has_room = of.Put(ShrinkPicture(picture, kSmallWidth));
    work->Reach(static_cast<double>(++made) / static_cast<double>(places.size() + 1));
    wake_();
    return has_room && !stop();
  };
  const Status done = VisitKeyFrames(*of.recording, places, put, stop);
  // The last frame may lie far behind the last key frame. Where it can't be decoded, the others do.
  if (done.ok() && !stop() && !of.ReachesEnd()) {
    const auto put_last = [&](const Picture& picture) {
      put(picture);
      return false;
    };
    static_cast<void>(SweepBehind(*of.recording, shape.end + TickSpan{-1}, put_last, stop));
  }
  work->End();
  return done.ok() && !stop();
}

// False where small pictures are wanted before the recording is known well enough: to be tried again.
bool StandIns::MakeLight(Of& of) {
  if (of.key.empty()) return true;
  const auto known = of.recording->WaitForTable(TableState::kVerified, {},
                                                [&] { return of.dropped.load() || small_wanted_.load(); });
  if (!known.ok()) return known.error().code != ErrorCode::kStopped;
  ShowLight(of);
  return true;
}

bool StandIns::MakeFile(Of& of, const std::string& path) {
  FileSystem& files = RealFileSystem();
  const bool fits = LightBytes(files, of.folder) + LightCopy::ExpectedBytes(*of.recording) <= kMostLightBytes;
  if (!fits || !LightCopy::IsWorthwhile(*of.recording) || !MakeFolders(files, of.folder).ok()) return false;
  const JobHandle work = BeginWork("Making a light copy, for quick jumps");
  const Status made = LightCopy::Make(
      *of.recording, path, [&](double share) { work->Reach(share); },
      [&] { return of.dropped || work->stop_asked(); });
  work->End();
  return made.ok();
}

void StandIns::ShowLight(Of& of) {
  const std::string path = of.folder + "/" + of.key + kLightEnding;
  if (!IsThere(RealFileSystem(), path) && !MakeFile(of, path)) return;
  auto light = LightCopy::Open(*of.recording, path);
  if (!light.ok()) return;
  const std::lock_guard lock(of.mutex);
  of.light = std::move(*light);
}

}  // namespace afterscope
