// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/small_pictures.hpp"

#include "metrics/picture/yuv_to_rgb.hpp"

namespace afterscope {
namespace {

constexpr std::size_t kMostEntries = 600;
constexpr std::size_t kMostUnderWay = 3;
constexpr int kWidest = 4;  // times the height

}  // namespace

SmallPictures::SmallPictures(const GlApi& gl, JobRunner& jobs, Reel& reel)
    : gl_(gl), jobs_(jobs), reel_(reel) {}

void SmallPictures::Forget() {
  entries_.clear();
  ages_.clear();
  under_way_.clear();
  failed_.clear();
  asked_.reset();
  jobs_.Renew();
}

void SmallPictures::SetHeight(int height) {
  if (height == height_) return;
  height_ = height;
  Forget();
}

const Texture* SmallPictures::At(FrameRef frame) {
  const auto found = entries_.find(frame);
  if (found == entries_.end()) return nullptr;
  ages_.splice(ages_.end(), ages_, found->second.age);
  return &found->second.texture;
}

void SmallPictures::Keep(FrameRef frame, const RgbImage& image) {
  under_way_.erase(frame);
  if (image.empty() || entries_.count(frame) != 0) return;
  if (entries_.size() >= kMostEntries) {
    entries_.erase(ages_.front());
    ages_.pop_front();
  }
  Texture texture(gl_);
  texture.Upload({GL_RGB8, GL_RGB, GL_UNSIGNED_BYTE}, image.width, image.height, 0, image.pixels.data());
  const auto age = ages_.insert(ages_.end(), frame);
  entries_.emplace(frame, Entry{std::move(texture), age});
}

void SmallPictures::Shrink(const Picture& picture) {
  under_way_.insert(picture.frame);
  jobs_.Start(
      "",
      [picture = reel_.Shown(picture), height = height_](const Progress&, const StopQuery&) {
        return ToSmallRgb(picture, kWidest * height, height);
      },
      [this, frame = picture.frame](const RgbImage& image) { Keep(frame, image); });
}

void SmallPictures::Decode(FrameRef frame) {
  const std::shared_ptr<Recording> recording = reel_.Shared(frame.recording);
  if (!recording) return;
  asked_ = frame;
  recording->Request(frame.pts, Priority::kBackground,
                     [this, frame, post = jobs_.Poster()](Result<Picture> result) {
                       post([this, frame, shared = std::make_shared<Result<Picture>>(std::move(result))] {
                         if (asked_ == frame) asked_.reset();
                         if (*shared)
                           Shrink(**shared);
                         else if (shared->error().code != ErrorCode::kStopped)
                           failed_.insert(frame);
                       });
                     });
}

void SmallPictures::Want(const std::vector<FrameRef>& frames, bool may_decode) {
  for (const FrameRef frame : frames) {
    if (entries_.count(frame) != 0 || under_way_.count(frame) != 0 || failed_.count(frame) != 0) continue;
    const Recording* recording = reel_.At(frame.recording);
    if (recording == nullptr) continue;
    if (under_way_.size() >= kMostUnderWay) return;
    if (const auto cached = recording->Cached(frame.pts)) {
      if (cached->frame == frame) Shrink(*cached);
    } else if (may_decode && !asked_) {
      Decode(frame);
    }
  }
}

}  // namespace afterscope
