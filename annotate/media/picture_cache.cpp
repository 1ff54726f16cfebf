// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_cache.hpp"

#include "annotate/platform/machine.hpp"

#include <algorithm>
#include <cstdlib>
#include <iterator>

namespace afterscope {
namespace {

constexpr std::int64_t kMostCacheBytes = 1536LL << 20;

std::int64_t Bytes(const Picture& picture) { return static_cast<std::int64_t>(picture.ByteSize()); }

}  // namespace

std::int64_t DefaultCacheBytes() { return std::min(MachineMemoryBytes() / 4, kMostCacheBytes); }

std::int64_t PictureCache::Distance(Pts pts) const { return std::abs(pts.ticks - focus_.ticks); }

bool PictureCache::WouldKeep(Pts pts) const {
  if (entries_.empty() || bytes_ + PictureBytes() <= budget_) return true;
  const std::int64_t farthest =
      std::max(Distance(entries_.begin()->first), Distance(std::prev(entries_.end())->first));
  return Distance(pts) < farthest;
}

bool PictureCache::Put(const Picture& picture, std::uint64_t check, bool duration_known) {
  const Pts at = picture.frame.pts;
  if (const auto old = entries_.find(at); old != entries_.end()) {
    bytes_ -= Bytes(old->second.picture);
    entries_.erase(old);
  }
  bytes_ += Bytes(picture);
  entries_[at] = {picture, check, duration_known};
  MakeRoom();
  return entries_.contains(at);
}

void PictureCache::SetDuration(Pts pts, TickSpan duration) {
  const auto found = entries_.find(pts);
  if (found == entries_.end()) return;
  found->second.picture.duration = duration;
  found->second.duration_known = true;
}

void PictureCache::SetBudget(std::int64_t budget_bytes) {
  budget_ = budget_bytes;
  MakeRoom();
}

void PictureCache::MakeRoom() {
  while (bytes_ > budget_ && entries_.size() > 1) {
    const auto first = entries_.begin();
    const auto last = std::prev(entries_.end());
    const auto farthest = Distance(first->first) > Distance(last->first) ? first : last;
    bytes_ -= Bytes(farthest->second.picture);
    entries_.erase(farthest);
  }
}

std::optional<Picture> PictureCache::Exactly(Pts pts) const {
  const auto found = entries_.find(pts);
  return found == entries_.end() ? std::nullopt : std::optional(found->second.picture);
}

std::optional<Picture> PictureCache::At(Pts pts) const {
  const auto after = entries_.upper_bound(pts);
  if (after == entries_.begin()) return std::nullopt;
  const auto& [at, entry] = *std::prev(after);
  const bool shown = at == pts || (entry.duration_known && pts < at + entry.picture.duration);
  return shown ? std::optional(entry.picture) : std::nullopt;
}

std::optional<Picture> PictureCache::Nearest(Pts pts) const {
  if (entries_.empty()) return std::nullopt;
  const auto after = entries_.lower_bound(pts);
  if (after == entries_.end()) return std::prev(after)->second.picture;
  if (after == entries_.begin()) return after->second.picture;
  const auto before = std::prev(after);
  return pts - before->first <= after->first - pts ? before->second.picture : after->second.picture;
}

void PictureCache::Review(const std::function<bool(Picture&, std::uint64_t check)>& keep) {
  std::map<Pts, Entry> kept;
  bytes_ = 0;
  for (auto& [at, entry] : entries_) {
    if (!keep(entry.picture, entry.check)) continue;
    bytes_ += Bytes(entry.picture);
    entry.duration_known = true;
    const Pts now = entry.picture.frame.pts;
    kept.insert_or_assign(now, std::move(entry));
  }
  entries_ = std::move(kept);
}

std::int64_t PictureCache::PictureBytes() const {
  return entries_.empty() ? 0 : Bytes(entries_.begin()->second.picture);
}

}  // namespace afterscope
