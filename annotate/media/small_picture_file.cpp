// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/small_picture_file.hpp"

#include "annotate/media/helper_messages.hpp"
#include "annotate/media/sealed_file.hpp"
#include "annotate/media/shared_picture.hpp"

#include <memory>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kSmallPicturesMagic = 0x4C4C414D53464141;
constexpr std::int64_t kSmallPicturesFormat = 1;

std::string NameOf(const std::string& key) { return key + ".small"; }

// Adds the samples to `samples`, and says where they lie in them.
PictureLayout Append(const Picture& picture, std::string& samples) {
  PictureLayout layout;
  layout.width = picture.width;
  layout.height = picture.height;
  layout.format = picture.format;
  layout.matrix = picture.matrix;
  layout.range = picture.range;
  layout.fields = picture.fields;
  layout.pixel_aspect = picture.pixel_aspect;
  layout.rotation_deg = picture.rotation_deg;
  for (std::size_t i = 0; i < static_cast<std::size_t>(picture.plane_count()); ++i) {
    const PlaneView& plane = picture.planes[i];
    layout.offset[i] = static_cast<std::int64_t>(samples.size());
    layout.stride[i] = std::int64_t{plane.width} * picture.bytes_per_sample();
    for (int y = 0; y < plane.height; ++y)
      samples.append(reinterpret_cast<const char*>(plane.data + y * plane.stride),
                     static_cast<std::size_t>(layout.stride[i]));
  }
  return layout;
}

}  // namespace

void SaveSmallPictures(FileSystem& files, const std::string& folder, const std::string& key,
                       const std::vector<Picture>& pictures) {
  std::string samples;
  WireWriter to;
  to.Int(kSmallPicturesMagic).Int(kSmallPicturesFormat).Int(static_cast<std::int64_t>(pictures.size()));
  for (const Picture& picture : pictures) {
    to.Int(picture.frame.pts.ticks).Int(picture.duration.ticks);
    Write(to, Append(picture, samples));
  }
  to.Text(samples);
  std::string bytes = to.Take();
  if (static_cast<std::int64_t>(bytes.size()) < kMostSmallPictureBytes)
    SaveSealed(files, folder, NameOf(key), std::move(bytes));
}

std::vector<Picture> LoadSmallPictures(FileSystem& files, const std::string& folder, const std::string& key,
                                       int recording_number) {
  const auto bytes = LoadSealed(files, folder + "/" + NameOf(key), kMostSmallPictureBytes);
  if (!bytes) return {};
  WireReader from(*bytes);
  if (from.Int() != kSmallPicturesMagic || from.Int() != kSmallPicturesFormat) return {};
  std::vector<std::pair<Picture, PictureLayout>> described;
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) {
    auto& [picture, layout] = described.emplace_back();
    picture.frame = {recording_number, {from.Int()}};
    picture.duration = {from.Int()};
    Read(from, layout);
  }
  const auto samples = std::make_shared<const std::string>(from.Text());
  if (!from.good()) return {};
  std::vector<Picture> pictures;
  for (const auto& [about, layout] : described) {
    Picture picture =
        ViewShared(layout, reinterpret_cast<const std::uint8_t*>(samples->data()), samples->size());
    if (picture.empty()) return {};
    picture.frame = about.frame;
    picture.duration = about.duration;
    picture.owner = samples;
    pictures.push_back(std::move(picture));
  }
  return pictures;
}

}  // namespace afterscope
