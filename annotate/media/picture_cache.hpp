// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <optional>

namespace afterscope {

// A quarter of the machine's memory, at most 1.5 GiB.
std::int64_t DefaultCacheBytes();

// Decoded pictures by timestamp, bounded in bytes. When it is full, the picture farthest from the focus goes.
// Thread-compatible.
class PictureCache {
 public:
  explicit PictureCache(std::int64_t budget_bytes) : budget_(budget_bytes) {}

  void SetFocus(Pts focus) { focus_ = focus; }
  Pts focus() const { return focus_; }
  void SetBudget(std::int64_t budget_bytes);  // what no longer fits goes
  // False if there is no room for it: all others are as near to the focus.
  bool WouldKeep(Pts pts) const;
  // duration_known: the picture's duration certainly reaches to the next frame.
  bool Put(const Picture& picture, std::uint64_t check, bool duration_known);
  // Says how long a cached picture certainly lasts.
  void SetDuration(Pts pts, TickSpan duration);
  std::optional<Picture> Exactly(Pts pts) const;
  // The cached picture shown at that time, if it certainly is the one: it begins at `pts`, or its duration is
  // known and reaches beyond.
  std::optional<Picture> At(Pts pts) const;
  std::optional<Picture> Nearest(Pts pts) const;
  bool Has(Pts pts) const { return entries_.contains(pts); }
  // Removes what the judge refuses, and lets it correct the rest, whose durations are known then.
  void Review(const std::function<bool(Picture&, std::uint64_t check)>& keep);
  std::int64_t bytes() const { return bytes_; }
  std::int64_t budget() const { return budget_; }
  std::int64_t PictureBytes() const;  // of a typical entry; 0 if it is empty

 private:
  struct Entry {
    Picture picture;
    std::uint64_t check = 0;
    bool duration_known = false;
  };
  std::int64_t Distance(Pts pts) const;
  void MakeRoom();

  std::int64_t budget_;
  std::int64_t bytes_ = 0;
  Pts focus_;
  std::map<Pts, Entry> entries_;
};

}  // namespace afterscope
