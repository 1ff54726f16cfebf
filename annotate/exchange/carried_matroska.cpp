// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

namespace afterscope {
namespace {

constexpr int kMostElements = 200'000;
constexpr int kMostElementDepth = 16;

struct Known {
  std::uint64_t id;
  const char* name;
  bool holds_others;
  bool harmless;
};

// Of RFC 9559 what carries words or dates, and what lies around it. Elements that are not here hold only what
// playing needs.
constexpr std::array<Known, 19> kKnown{{{0x18538067, "Segment", true, true},
                                        {0x1549A966, "Info", true, true},
                                        {0x1654AE6B, "Tracks", true, true},
                                        {0xAE, "TrackEntry", true, true},
                                        {0x1043A770, "Chapters", true, true},
                                        {0x45B9, "EditionEntry", true, true},
                                        {0xB6, "ChapterAtom", true, true},
                                        {0x80, "ChapterDisplay", true, true},
                                        {0x85, "ChapString", false, true},
                                        {0x7BA9, "Title", false, false},
                                        {0x4461, "DateUTC", false, false},
                                        {0x4D80, "MuxingApp", false, true},
                                        {0x5741, "WritingApp", false, true},
                                        {0x7384, "SegmentFilename", false, false},
                                        {0x536E, "Name", false, false},
                                        {0x1254C367, "Tags", false, false},
                                        {0x1941A469, "Attachments", false, false},
                                        {0x73A4, "SegmentUUID", false, true},
                                        {0x258688, "CodecName", false, true}}};

const Known* Find(std::uint64_t id) {
  for (const Known& known : kKnown)
    if (known.id == id) return &known;
  return nullptr;
}

class ElementWalker {
 public:
  ElementWalker(ByteReader& file, CarriedData& data) : file_(file), data_(data) {}

  bool Walk(std::int64_t begin, std::int64_t end, int depth = 0) {
    if (depth > kMostElementDepth) return false;
    for (std::int64_t at = begin; at < end;) {
      std::int64_t next = at;
      const auto id = Variable(next, true);
      const auto size = Variable(next, false);
      if (!id || !size || ++elements_ > kMostElements) return false;
      const bool open_ended = *size == kUnknown;
      const std::int64_t stop = open_ended ? end : next + static_cast<std::int64_t>(*size);
      if (stop > end || stop < next) return false;
      if (*id == kTrackType) SeeTrack(next, stop - next);
      const Known* const known = Find(*id);
      if (known && known->holds_others) {
        if (!Walk(next, stop, depth + 1)) return false;
      } else if (known) {
        const std::string text = file_.Bytes(next, std::min<std::int64_t>(stop - next, 400));
        const bool encoder_only = *id == 0x1254C367 && OnlyEncoderTags(next, stop);
        if (!text.empty())
          data_.items.push_back({known->name, Shortened(text), known->harmless || encoder_only});
      } else if (open_ended) {
        return true;  // a live stream's cluster: nothing but media follows
      }
      at = stop;
    }
    return true;
  }

 private:
  static constexpr std::uint64_t kUnknown = ~std::uint64_t{0};
  static constexpr std::uint64_t kTrackType = 0x83, kPictures = 1, kSound = 2;

  void SeeTrack(std::int64_t at, std::int64_t bytes) {
    const auto type = bytes >= 1 && bytes <= 8 ? file_.Number(at, static_cast<int>(bytes)) : std::nullopt;
    if (type && (*type == kPictures || *type == kSound)) return;
    data_.items.push_back({"TrackType", fmt::format("a track of type {}, neither picture nor sound",
                                                    type ? std::to_string(*type) : "unknown")});
  }

  // Tags whose only names are those of encoder and duration, which muxers write by themselves.
  bool OnlyEncoderTags(std::int64_t begin, std::int64_t end, int depth = 0) {
    if (depth > kMostElementDepth) return false;
    for (std::int64_t at = begin; at < end;) {
      std::int64_t next = at;
      const auto id = Variable(next, true);
      const auto size = Variable(next, false);
      if (!id || !size || *size > static_cast<std::uint64_t>(end) || ++elements_ > kMostElements)
        return false;
      const std::int64_t stop = next + static_cast<std::int64_t>(*size);
      if (stop > end) return false;
      if (*id == 0x7373 || *id == 0x67C8) {  // Tag, SimpleTag
        if (!OnlyEncoderTags(next, stop, depth + 1)) return false;
      } else if (*id == 0x45A3) {  // TagName
        const std::string name = file_.Bytes(next, static_cast<std::int64_t>(*size));
        if (name != "ENCODER" && name != "DURATION") return false;
      }
      at = stop;
    }
    return true;
  }

  // A variable-length number of EBML (RFC 8794, section 4); moves `at` behind it.
  std::optional<std::uint64_t> Variable(std::int64_t& at, bool keep_marker) {
    const auto first = file_.Number(at, 1);
    if (!first || *first == 0) return std::nullopt;
    int bytes = 1;
    while (!(*first & (0x80u >> (bytes - 1)))) ++bytes;
    auto value = file_.Number(at, bytes);
    if (!value) return std::nullopt;
    at += bytes;
    if (keep_marker) return value;
    const std::uint64_t marker = std::uint64_t{1} << (7 * bytes);
    *value &= marker - 1;
    if (*value == marker - 1) return kUnknown;
    return *value > (std::uint64_t{1} << 62) ? std::nullopt : value;
  }

  ByteReader& file_;
  CarriedData& data_;
  int elements_ = 0;
};

}  // namespace

bool SeeMatroska(ByteReader& file, CarriedData& data) {
  data.kind = "Matroska or WebM";
  return ElementWalker(file, data).Walk(0, file.size());
}

}  // namespace afterscope
