// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/reel.hpp"

#include "app/desktop/player/cache_shares.hpp"

#include <algorithm>

namespace afterscope {
namespace {

const FrameTable* TableAt(const Tables& tables, int recording) {
  if (recording < 0 || recording >= static_cast<int>(tables.size())) return nullptr;
  const FrameTable* table = tables[static_cast<std::size_t>(recording)].get();
  return table != nullptr && !table->empty() ? table : nullptr;
}

// The next recording in that direction that has frames, or -1.
int Neighbour(const Tables& tables, int recording, int direction) {
  for (int i = recording + direction; i >= 0 && i < static_cast<int>(tables.size()); i += direction)
    if (TableAt(tables, i) != nullptr) return i;
  return -1;
}

constexpr double kNearSeconds = 2;  // of the neighbouring recording

Result<std::unique_ptr<Recording>> OpenLocated(const std::function<Result<std::string>()>& locate, int number,
                                               std::int64_t cache_bytes, const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const std::string path, locate());
  Recording::Options options;
  options.recording_number = number;
  options.cache_bytes = cache_bytes;
  return Recording::Open(path, options, stop);
}

}  // namespace

Reel::Reel(JobRunner& jobs, std::int64_t cache_bytes, bool with_stand_ins)
    : jobs_(jobs),
      cache_bytes_(cache_bytes),
      with_stand_ins_(with_stand_ins),
      stand_ins_([&jobs] { jobs.Post([] {}); }) {}

Reel::~Reel() {
  *alive_ = false;
  Close();
}

void Reel::Close() {
  // A recording ends its helper process when it goes, which may take a moment.
  for (Item& item : items_) {
    if (!item.recording) continue;
    item.recording->SetCacheBytes(0);
    jobs_.Start(
        "",
        [recording = std::move(item.recording)](const Progress&, const StopQuery&) mutable {
          recording.reset();
          return 0;
        },
        [](int) {});
  }
  items_.clear();
  stand_ins_.Clear();
  ++generation_;
}

void Reel::Open(const std::vector<Source>& sources, std::vector<std::vector<CoverArea>> covers) {
  Close();
  covers_ = std::move(covers);
  in_sight_ = 0;
  for (const Source& source : sources) items_.push_back({source.name, State::kOpening, {}, nullptr});
  ShareOutCache();
  for (std::size_t i = 0; i < sources.size(); ++i) {
    jobs_.Start(
        "Opening the recording",
        [locate = sources[i].locate, number = static_cast<int>(i), share = items_[i].cache_bytes](
            const Progress&, const StopQuery& stop) { return OpenLocated(locate, number, share, stop); },
        [this, alive = alive_, number = static_cast<int>(i), folder = sources[i].cache_folder,
         generation = generation_](Result<std::unique_ptr<Recording>> opened) {
          if (*alive && generation == generation_) Settle(number, folder, std::move(opened));
        });
  }
}

void Reel::Settle(int number, const std::string& cache_folder, Result<std::unique_ptr<Recording>> opened) {
  Item& item = items_[static_cast<std::size_t>(number)];
  item.state = opened ? State::kOpen : State::kMissing;
  if (!opened) {
    item.problem = opened.error().code == ErrorCode::kStopped
                       ? "Opening this recording was stopped; open the case again to see it."
                       : opened.error().message;
    return;
  }
  item.recording = std::move(opened).value();
  item.recording->SetCacheBytes(item.cache_bytes);  // the shares may have changed meanwhile
  item.name = item.recording->info().path;
  if (with_stand_ins_) stand_ins_.Add(item.recording, number, cache_folder);
}

void Reel::SetCacheBytes(std::int64_t bytes) {
  if (bytes == cache_bytes_) return;
  cache_bytes_ = bytes;
  ShareOutCache();
}

void Reel::ShareOutCache() {
  const std::vector<std::int64_t> shares = CacheShares(cache_bytes_, items_.size(), in_sight_);
  const auto give = [&](bool smaller_ones) {
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (shares[i] == items_[i].cache_bytes || (shares[i] < items_[i].cache_bytes) != smaller_ones) continue;
      items_[i].cache_bytes = shares[i];
      if (items_[i].recording) items_[i].recording->SetCacheBytes(shares[i]);
    }
  };
  give(true);  // first, so that all together never hold more
  give(false);
}

Picture Reel::Shown(const Picture& picture) const {
  const auto i = static_cast<std::size_t>(picture.frame.recording);
  const Recording* recording = At(picture.frame.recording);
  if (recording == nullptr || i >= covers_.size() || covers_[i].empty() || picture.empty()) return picture;
  const RecordingInfo& full = recording->info();
  std::vector<CoverArea> areas = covers_[i];
  // A place between pixels, 0 being the outer edge of the first, scales with the picture.
  const auto place = [&](PointPx p) {
    return PointPx{(p.x + 0.5) * picture.width / std::max(1, full.width) - 0.5,
                   (p.y + 0.5) * picture.height / std::max(1, full.height) - 0.5};
  };
  for (CoverArea& area : areas) {
    area.corner = place(area.corner);
    area.opposite = place(area.opposite);
  }
  return Covered(picture, areas);
}

void Reel::Follow(FrameRef playhead, int direction) {
  Recording* recording = At(playhead.recording);
  if (recording == nullptr) return;
  if (const auto number = static_cast<std::size_t>(playhead.recording); number != in_sight_) {
    in_sight_ = number;
    ShareOutCache();
  }
  recording->SetPlayhead(playhead.pts, direction);
  const RecordingShape shape = recording->Shape();
  const TickSpan left = direction < 0 ? playhead.pts - shape.first : shape.end - playhead.pts;
  Recording* next = At(playhead.recording + (direction < 0 ? -1 : 1));
  if (next == nullptr || left.Seconds(shape.time_base) > kNearSeconds) return;
  const RecordingShape there = next->Shape();
  next->SetPlayhead(direction < 0 ? there.end + TickSpan{-1} : there.first, direction < 0 ? -1 : 1);
}

std::shared_ptr<Recording> Reel::Shared(int recording) const {
  if (recording < 0 || recording >= static_cast<int>(items_.size())) return nullptr;
  return items_[static_cast<std::size_t>(recording)].recording;
}

Recording* Reel::At(int recording) const { return Shared(recording).get(); }

bool Reel::AllSettled() const {
  return std::none_of(items_.begin(), items_.end(), [](const Item& i) { return i.state == State::kOpening; });
}

Tables Reel::tables() const {
  Tables tables;
  for (const Item& item : items_) tables.push_back(item.recording ? item.recording->table() : nullptr);
  return tables;
}

std::vector<RecordingRef> Reel::Known(const std::vector<RecordingRef>& recorded) const {
  std::vector<RecordingRef> known = recorded;
  for (std::size_t i = 0; i < items_.size(); ++i) {
    if (i >= known.size()) known.emplace_back();
    if (!known[i].shape.verified && items_[i].recording) known[i].shape = items_[i].recording->Shape();
  }
  return known;
}

FrameRef StepFrames(const Tables& tables, FrameRef from, std::int64_t frames) {
  const FrameTable* table = TableAt(tables, from.recording);
  if (table == nullptr) return from;
  std::int64_t index = table->At(from.pts).value_or(FrameIndex{0}).value + frames;
  int recording = from.recording;
  while (index < 0 || index >= table->size()) {
    const int direction = index < 0 ? -1 : 1;
    const int next = Neighbour(tables, recording, direction);
    if (next < 0) break;
    if (direction > 0) index -= table->size();
    recording = next;
    table = TableAt(tables, recording);
    if (direction < 0) index += table->size();
  }
  index = std::clamp<std::int64_t>(index, 0, table->size() - 1);
  return {recording, (*table)[FrameIndex{index}].pts};
}

FrameRef FrameShownAt(const Tables& tables, FrameRef at) {
  const FrameTable* table = TableAt(tables, at.recording);
  if (table == nullptr) return at;
  return {at.recording, (*table)[table->At(at.pts).value_or(FrameIndex{0})].pts};
}

FrameRef FrameAtSeconds(const Tables& tables, const CaseClock& clock, double seconds) {
  return FrameShownAt(tables, clock.At(seconds));
}

std::optional<std::int64_t> IndexOf(const Tables& tables, FrameRef at) {
  const FrameTable* table = TableAt(tables, at.recording);
  if (table == nullptr) return std::nullopt;
  const auto index = table->At(at.pts);
  return index ? std::optional(index->value) : std::nullopt;
}

}  // namespace afterscope
