// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_worker.hpp"

#include "annotate/media/shared_picture.hpp"

#include <algorithm>
#include <chrono>

namespace afterscope {
namespace {

constexpr double kAheadShare = 0.4;   // of the cache, while playing forwards
constexpr double kBehindShare = 0.4;  // ahead and behind together leave room for what is being looked at
constexpr double kAheadSeconds = 4;
constexpr double kBehindSeconds = 10;
constexpr double kSoonSeconds = 1;  // what is wanted so soon and not there is worth all processors
constexpr auto kLookForStopEvery = std::chrono::milliseconds(20);

std::atomic<int> hungry_workers{0};

Error StoppedError() { return {ErrorCode::kStopped, "Stopped."}; }

}  // namespace

PictureWorker::PictureWorker(std::unique_ptr<ExactReader> reader, std::shared_ptr<const TableData> data,
                             std::int64_t cache_bytes)
    : data_(std::move(data)), cache_(cache_bytes), reader_(std::move(reader)), thread_([this] { Run(); }) {}

PictureWorker::~PictureWorker() {
  closing_ = true;
  { const std::lock_guard lock(mutex_); }
  changed_.notify_all();
  thread_.join();
  SetHungry(false);
}

PictureWorker::Hungry::Hungry() { ++hungry_workers; }
PictureWorker::Hungry::~Hungry() { --hungry_workers; }

bool PictureWorker::AnyHungry() { return hungry_workers > 0; }

void PictureWorker::SetHungry(bool hungry) {
  if (hungry == hungry_) return;
  hungry_ = hungry;
  hungry_workers += hungry ? 1 : -1;
}

void PictureWorker::Use(std::shared_ptr<const TableData> data) {
  const std::lock_guard lock(mutex_);
  data_ = std::move(data);
  given_up_.clear();
  if (data_->verified()) ReviewCache();
}

// Pictures that were decoded before the table was final stay only if they are what it says.
void PictureWorker::ReviewCache() {
  const FrameTable& table = data_->table;
  cache_.Review([&](Picture& picture, std::uint64_t check) {
    const auto index = table.Exactly(picture.frame.pts);
    if (!index) return false;
    const std::uint64_t expected = data_->sources[static_cast<std::size_t>(index->value)].check;
    if (expected != 0 && check != expected) return false;
    picture.duration = table[*index].duration;
    picture.damaged = table[*index].damaged;
    return true;
  });
}

std::optional<Picture> PictureWorker::CachedLocked(Pts pts) const {
  if (!data_->verified()) return cache_.At(pts);
  if (data_->table.empty()) return std::nullopt;
  return cache_.Exactly(data_->table[data_->table.At(pts).value_or(FrameIndex{0})].pts);
}

std::optional<Picture> PictureWorker::Cached(Pts pts) const {
  const std::lock_guard lock(mutex_);
  return CachedLocked(pts);
}

std::optional<Picture> PictureWorker::NearestCached(Pts pts) const {
  const std::lock_guard lock(mutex_);
  return cache_.Nearest(pts);
}

Result<Picture> PictureWorker::Fetch(Pts pts, const StopQuery& stop) {
  struct Answer {
    std::mutex mutex;
    std::condition_variable came;
    std::optional<Result<Picture>> result;
  };
  const auto answer = std::make_shared<Answer>();
  const auto job = std::make_shared<Job>();
  job->pts = pts;
  job->ready = [answer](Result<Picture> result) {
    const std::lock_guard lock(answer->mutex);
    answer->result = std::move(result);
    answer->came.notify_all();
  };
  {
    const std::lock_guard lock(mutex_);
    if (auto picture = CachedLocked(pts)) return std::move(*picture);
    jobs_.push_back(job);
    ++urgent_;
  }
  changed_.notify_all();
  std::unique_lock lock(answer->mutex);
  while (!answer->came.wait_for(lock, kLookForStopEvery, [&] { return answer->result.has_value(); }))
    if (Stopped(stop)) job->cancelled = true;
  return std::move(*answer->result);
}

void PictureWorker::Request(Pts pts, Priority priority, Recording::Ready ready) {
  const auto job = std::make_shared<Job>();
  job->pts = pts;
  job->priority = priority;
  job->ready = std::move(ready);
  {
    const std::lock_guard lock(mutex_);
    // Blocking calls have no rival; a request is overtaken by the next of its priority.
    for (auto other = requests_.begin(); other != requests_.end(); ++other) {
      if ((*other)->priority != priority) continue;
      (*other)->cancelled = true;
      requests_.erase(other);
      break;
    }
    requests_.push_back(job);
    jobs_.push_back(job);
    ++urgent_;
  }
  changed_.notify_all();
}

void PictureWorker::SetPlayhead(Pts pts, int direction) {
  {
    const std::lock_guard lock(mutex_);
    playhead_ = pts;
    direction_ = direction;
    unkept_.clear();
    cache_.SetFocus(pts);
  }
  changed_.notify_all();
}

void PictureWorker::SetCacheBytes(std::int64_t bytes) {
  {
    const std::lock_guard lock(mutex_);
    unkept_.clear();
    cache_.SetBudget(bytes);
    resized_ = true;
  }
  changed_.notify_all();
}

// The most urgent one; overtaken ones first, to be told so.
PictureWorker::JobPtr PictureWorker::TakeJob() {
  if (jobs_.empty()) return nullptr;
  const auto rank = [](const JobPtr& job) { return job->cancelled ? -1 : static_cast<int>(job->priority); };
  const auto best = std::min_element(jobs_.begin(), jobs_.end(),
                                     [&](const JobPtr& a, const JobPtr& b) { return rank(a) < rank(b); });
  JobPtr job = *best;
  jobs_.erase(best);
  --urgent_;
  return job;
}

void PictureWorker::Run() {
  for (;;) {
    JobPtr job;
    {
      std::unique_lock lock(mutex_);
      if (closing_) break;
      job = TakeJob();
      reader_->Use(data_);
    }
    if (job) {
      SetHungry(true);
      Serve(job);
    } else if (!ReadAhead()) {
      SetHungry(false);
      std::unique_lock lock(mutex_);
      const Pts before = playhead_.value_or(Pts{});
      const int direction = direction_;
      const auto data = data_;
      changed_.wait(lock, [&] {
        return closing_ || !jobs_.empty() || std::exchange(resized_, false) ||
               playhead_.value_or(Pts{}) != before || direction_ != direction || data_ != data;
      });
    }
    helper_pid_ = reader_->helper_pid();
  }
  for (const JobPtr& job : jobs_) job->ready(StoppedError());
  jobs_.clear();
}

bool PictureWorker::MoreUrgentThan(Priority priority) const {
  if (urgent_ == 0) return false;
  const std::lock_guard lock(mutex_);
  return std::any_of(jobs_.begin(), jobs_.end(), [&](const JobPtr& job) { return job->priority < priority; });
}

void PictureWorker::Finish(const JobPtr& job, Result<Picture> result) {
  {
    const std::lock_guard lock(mutex_);
    std::erase(requests_, job);
  }
  job->ready(std::move(result));
}

void PictureWorker::Serve(const JobPtr& job) {
  if (job->cancelled) return Finish(job, StoppedError());
  std::optional<Picture> cached;
  {
    const std::lock_guard lock(mutex_);
    if (!playhead_) cache_.SetFocus(job->pts);
    cached = CachedLocked(job->pts);
  }
  if (cached) return Finish(job, std::move(*cached));
  bool put_off = false;
  auto reached = reader_->Reach(
      job->pts, [this](const ReadFrame& passing) { Keep(passing); },
      [&] {
        put_off = put_off || MoreUrgentThan(job->priority);
        return put_off || closing_ || job->cancelled;
      });
  if (!reached.ok()) {
    if (reached.error().code == ErrorCode::kStopped && put_off && !closing_ && !job->cancelled) {
      const std::lock_guard lock(mutex_);
      jobs_.push_front(job);
      ++urgent_;
      return;
    }
    return Finish(job, reached.error());
  }
  Picture picture = OwnCopy(reached->picture);
  {
    const std::lock_guard lock(mutex_);
    cache_.Put(picture, reached->check, reached->duration_known);
  }
  Finish(job, std::move(picture));
}

void PictureWorker::Keep(const ReadFrame& frame) {
  const Pts pts = frame.picture.frame.pts;
  {
    const std::lock_guard lock(mutex_);
    if (cache_.Has(pts)) {
      if (frame.duration_known) cache_.SetDuration(pts, frame.picture.duration);
      return;
    }
    if (!cache_.WouldKeep(pts)) return;
  }
  const Picture picture = OwnCopy(frame.picture);
  const std::lock_guard lock(mutex_);
  cache_.Put(picture, frame.check, frame.duration_known);
}

// So many ticks lie within a share of the cache, and within some seconds.
std::int64_t PictureWorker::Window(double share, double seconds) const {
  const FrameTable& table = data_->table;
  const auto bytes = static_cast<double>(std::max<std::int64_t>(1, cache_.PictureBytes()));
  const double frames = share * static_cast<double>(cache_.budget()) / bytes;
  const double time_base = reader_->file().info.time_base.value();
  const double frame_ticks = table.size() > 1 ? static_cast<double>((table.end() - table.begin()).ticks) /
                                                    static_cast<double>(table.size())
                                              : 0.04 / time_base;
  return static_cast<std::int64_t>(std::min(frames * frame_ticks, seconds / time_base));
}

bool PictureWorker::Has(Pts pts) const {
  return data_->verified() ? cache_.Has(pts) : cache_.At(pts).has_value();
}

// The frame nearest to the playhead in that direction that should be there and is not.
std::optional<Pts> PictureWorker::Missing(int direction) const {
  const FrameTable& table = data_->table;
  const std::int64_t reach =
      direction < 0 ? Window(kBehindShare, kBehindSeconds) : Window(kAheadShare, kAheadSeconds);
  FrameIndex i = table.At(*playhead_).value_or(FrameIndex{0});
  for (; i.value >= 0 && i.value < table.size(); i.value += direction) {
    const Pts pts = table[i].pts;
    if (std::abs(pts.ticks - playhead_->ticks) > reach) break;
    if (Has(pts) || given_up_.contains(pts) || unkept_.contains(pts)) continue;
    return cache_.WouldKeep(pts) ? std::optional(pts) : std::nullopt;
  }
  return std::nullopt;
}

// Reads one picture that will be wanted; false if there is none.
bool PictureWorker::ReadAhead() {
  std::optional<Pts> wanted;
  bool frames_known = false;
  {
    const std::lock_guard lock(mutex_);
    if (!playhead_) return false;
    frames_known = !data_->table.empty() && data_->has_timestamps;
    if (frames_known) {
      wanted = Missing(direction_ < 0 ? -1 : 1);
      if (!wanted && direction_ == 0) wanted = Missing(-1);
      if (!wanted) return false;
    } else {
      wanted = Pts{playhead_->ticks + Window(kAheadShare, kAheadSeconds)};
    }
    const double soon = kSoonSeconds / reader_->file().info.time_base.value();
    SetHungry(direction_ == 0 || std::abs(static_cast<double>((*wanted - *playhead_).ticks)) < soon);
  }
  return frames_known ? ReadAt(*wanted) : ReadOn(*wanted);
}

// Where frames are not known yet: reads on from where reading stands, if that is near the playhead.
bool PictureWorker::ReadOn(Pts until) {
  const auto position = reader_->position();
  if (!position || *position >= until) return false;
  {
    const std::lock_guard lock(mutex_);
    const std::int64_t near = Window(kAheadShare, kAheadSeconds);
    if (direction_ < 0 || position->ticks < playhead_->ticks - near) return false;
  }
  auto next = reader_->Next([this] { return closing_ || urgent_ > 0; });
  if (!next.ok()) return next.error().code == ErrorCode::kStopped;
  if (!*next) return false;
  Keep(**next);
  return true;
}

bool PictureWorker::ReadAt(Pts pts) {
  const auto reached = reader_->Reach(
      pts, [this](const ReadFrame& passing) { Keep(passing); }, [this] { return closing_ || urgent_ > 0; });
  if (reached.ok()) Keep(*reached);
  const std::lock_guard lock(mutex_);
  if (Has(pts) || (!reached.ok() && reached.error().code == ErrorCode::kStopped)) return true;
  const bool is_there = reached.ok() && reached->picture.frame.pts == pts;
  (is_there ? unkept_ : given_up_).insert(pts);
  return true;
}

}  // namespace afterscope
