// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/mp4_chapters.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::size_t kMost = 255;
constexpr std::size_t kHeader = 8;  // of a box: its size and its kind
constexpr double kTicksPerSecond = 1e7;
constexpr std::uint64_t kVersion1 = 0x01000000;

void PutBigEndian(std::uint64_t value, int bytes, std::string& out) {
  for (int i = bytes - 1; i >= 0; --i) out += static_cast<char>(value >> (8 * i) & 255);
}

std::string Box(const char* kind, const std::string& content) {
  std::string box;
  PutBigEndian(content.size() + 8, 4, box);
  return box + kind + content;
}

// As many whole characters of UTF-8 as the length's byte can count.
std::string Cut(std::string title) {
  if (title.size() <= kMost) return title;
  std::size_t end = kMost;
  while (end > 0 && (static_cast<unsigned char>(title[end]) & 0xC0) == 0x80) --end;
  return title.substr(0, end);
}

std::string ChapterList(const std::vector<WrittenChapter>& chapters) {
  const std::size_t count = std::min(kMost, chapters.size());
  std::string list;
  PutBigEndian(kVersion1, 4, list);
  PutBigEndian(0, 4, list);
  PutBigEndian(count, 1, list);
  for (std::size_t i = 0; i < count; ++i) {
    const std::string title = Cut(chapters[i].title);
    PutBigEndian(static_cast<std::uint64_t>(std::llround(chapters[i].start * kTicksPerSecond)), 8, list);
    PutBigEndian(title.size(), 1, list);
    list += title;
  }
  return Box("chpl", list);
}

std::size_t SizeAt(std::string_view bytes, std::size_t at) {
  std::size_t size = 0;
  for (std::size_t i = 0; i < 4; ++i) size = size << 8 | static_cast<unsigned char>(bytes[at + i]);
  return size;
}

}  // namespace

std::string MovieWithChapters(const std::string& movie, const std::vector<WrittenChapter>& chapters) {
  if (movie.size() < kHeader || movie.compare(4, 4, "moov") != 0 || SizeAt(movie, 0) != movie.size())
    return {};
  std::size_t last = kHeader;
  for (std::size_t at = kHeader; at < movie.size(); at += SizeAt(movie, at)) {
    if (movie.size() - at < kHeader || SizeAt(movie, at) < kHeader || SizeAt(movie, at) > movie.size() - at)
      return {};
    last = at;
  }
  std::string content = movie.substr(kHeader), user_data;
  if (movie.compare(last + 4, 4, "udta") == 0) {
    user_data = movie.substr(last + kHeader);
    content.resize(last - kHeader);
  }
  return Box("moov", content + Box("udta", user_data + ChapterList(chapters)));
}

}  // namespace afterscope
