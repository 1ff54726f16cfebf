// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_scope.hpp"
#include "app/desktop/gl/texture.hpp"
#include "app/desktop/player/reel.hpp"
#include "metrics/picture/rgb_image.hpp"

#include <list>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

namespace afterscope {

// Small real pictures for the timeline, made in the background from what the cache holds, and from pictures
// asked for with the lowest priority when nothing else is going on. Keeps the last few hundred. One thread;
// its context must be current, always.
class SmallPictures {
 public:
  SmallPictures(const GlApi& gl, JobRunner& jobs, Reel& reel);

  // Null while it is not there yet. Its size keeps the proportions of the shown picture.
  const Texture* At(FrameRef frame);
  // Which ones are in sight, nearest to the playhead first. may_decode: nothing plays, so the decoder is
  // free.
  void Want(const std::vector<FrameRef>& frames, bool may_decode);
  // How high they are made, in pixels.
  void SetHeight(int height);
  void Forget();

 private:
  struct Entry {
    Texture texture;
    std::list<FrameRef>::iterator age;
  };
  void Shrink(const Picture& picture);
  void Keep(FrameRef frame, const RgbImage& image);
  void Decode(FrameRef frame);

  const GlApi& gl_;
  JobScope jobs_;
  Reel& reel_;
  int height_ = 54;
  std::map<FrameRef, Entry> entries_;
  std::list<FrameRef> ages_;       // the oldest in front
  std::set<FrameRef> under_way_;   // being shrunk
  std::optional<FrameRef> asked_;  // of the decoder
  std::set<FrameRef> failed_;
};

}  // namespace afterscope
