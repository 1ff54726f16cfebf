// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace afterscope {
namespace {

constexpr int kMostBoxDepth = 16;
constexpr int kMostBoxes = 100'000;
constexpr std::size_t kScanBlock = 1 << 20;

// Boxes that hold other boxes.
constexpr std::array<std::string_view, 11> kHolders{"moov", "trak", "mdia", "minf", "stbl", "edts",
                                                    "dinf", "mvex", "moof", "traf", "tref"};
// Boxes with nothing but what playing needs.
constexpr std::array<std::string_view, 34> kPlain{
    "ftyp", "mdat", "vmhd", "smhd", "nmhd", "gmhd", "sthd", "dref", "stsd", "stts", "ctts", "cslg",
    "stss", "stsc", "stsz", "stz2", "stco", "co64", "sgpd", "sbgp", "elst", "trex", "mehd", "mfhd",
    "tfhd", "tfdt", "trun", "sidx", "mfra", "sdtp", "subs", "chap", "styp", "url "};
constexpr std::array<std::string_view, 6> kHandlers{"VideoHandler", "SoundHandler", "SubtitleHandler",
                                                    "TextHandler",  "DataHandler",  ""};

// Kinds of tracks that hold pictures or sound, and QuickTime's ways to say where their data lies.
constexpr std::array<std::string_view, 5> kMedia{"vide", "soun", "alis", "url ", "rsrc"};

template <std::size_t N>
bool IsOneOf(const std::array<std::string_view, N>& list, std::string_view word) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

class BoxWalker {
 public:
  BoxWalker(ByteReader& file, CarriedData& data, std::int64_t most_media)
      : file_(file), data_(data), most_media_(most_media) {}

  bool Walk(std::int64_t begin, std::int64_t end, int depth) {
    for (std::int64_t at = begin; at < end;) {
      const auto size32 = file_.Number(at, 4);
      const std::string type = file_.Bytes(at + 4, 4);
      if (!size32 || type.size() != 4 || ++boxes_ > kMostBoxes) return false;
      std::int64_t header = 8;
      auto size = static_cast<std::int64_t>(*size32);
      if (size == 1) {
        const auto size64 = file_.Number(at + 8, 8);
        if (!size64 || *size64 > static_cast<std::uint64_t>(file_.size())) return false;
        size = static_cast<std::int64_t>(*size64);
        header = 16;
      }
      if (size == 0) size = end - at;
      if (size < header || at > end - size) return false;
      if (!See(type, at + header, at + size, depth)) return false;
      at += size;
    }
    return true;
  }

 private:
  void Add(const std::string& where, const std::string& what, bool harmless = false) {
    data_.items.push_back({where, Shortened(what), harmless});
  }

  bool See(const std::string& type, std::int64_t begin, std::int64_t end, int depth) {
    if (IsOneOf(kHolders, type)) return depth < kMostBoxDepth && Walk(begin, end, depth + 1);
    if (type == "mdat") return ScanMedia(begin, end);
    if (IsOneOf(kPlain, type)) return true;
    if (type == "free" || type == "skip" || type == "wide") return SeeRoom(type, begin, end);
    if (type == "mvhd" || type == "tkhd" || type == "mdhd") return SeeDates(type, begin);
    if (type == "hdlr") return SeeHandler(begin, end);
    Add(type, file_.Bytes(begin, std::min<std::int64_t>(end - begin, 400)),
        type == "udta" && OnlyChapters(begin, end));
    return true;
  }

  // Room that a program left free holds zeros, and may hold what stood there before.
  bool SeeRoom(const std::string& type, std::int64_t begin, std::int64_t end) {
    for (std::int64_t at = begin; at < end; at += static_cast<std::int64_t>(kScanBlock)) {
      const std::string block =
          file_.Bytes(at, std::min<std::int64_t>(end - at, static_cast<std::int64_t>(kScanBlock)));
      if (block.empty()) return false;
      const std::size_t first = block.find_first_not_of('\0');
      if (first == std::string::npos) continue;
      Add(type, block.substr(first, 400));
      return true;
    }
    return true;
  }

  // User data with nothing but a list of chapters (`chpl`), which the clip's own parts name, and an empty
  // list of items.
  bool OnlyChapters(std::int64_t begin, std::int64_t end) {
    for (std::int64_t at = begin; at < end;) {
      const auto size = file_.Number(at, 4);
      const std::string type = file_.Bytes(at + 4, 4);
      if (!size || *size < 8) return false;
      const std::int64_t stop = at + static_cast<std::int64_t>(*size);
      const bool empty_list = type == "meta" && file_.Bytes(stop - 8, 8) == std::string("\0\0\0\x08ilst", 8);
      if (stop > end || (type != "chpl" && !empty_list)) return false;
      at = stop;
    }
    return true;
  }

  // Seconds since 1904; 0 where there is none.
  bool SeeDates(const std::string& type, std::int64_t begin) {
    const auto version = file_.Number(begin, 1);
    if (!version) return false;
    const int bytes = *version == 1 ? 8 : 4;
    for (const int field : {0, 1}) {
      const auto date = file_.Number(begin + 4 + static_cast<std::int64_t>(field) * bytes, bytes);
      if (!date) return false;
      if (*date != 0)
        Add(type, fmt::format("{} date: {} s since 1904", field == 0 ? "creation" : "modification", *date));
    }
    return true;
  }

  bool SeeHandler(std::int64_t begin, std::int64_t end) {
    std::string name = file_.Bytes(begin + 24, end - begin - 24);
    name.resize(std::min(name.find('\0'), name.size()));
    Add("hdlr", name, IsOneOf(kHandlers, name));
    const std::string kind = file_.Bytes(begin + 8, 4);
    if (!IsOneOf(kMedia, kind))
      Add("hdlr", fmt::format("a track of kind '{}', neither picture nor sound", kind));
    return true;
  }

  // User data in an H.264 stream: NAL type 6, payload type 5, after a length of four bytes or a start code.
  bool ScanMedia(std::int64_t begin, std::int64_t end) {
    end = std::min(end, begin + most_media_);
    for (std::int64_t at = begin; at < end;) {
      const auto count = std::min<std::int64_t>(end - at, static_cast<std::int64_t>(kScanBlock));
      const std::string block = file_.Bytes(at, count);
      if (block.empty()) return false;
      for (std::size_t i = 4; i + 19 < block.size(); ++i) {
        if (block[i] != 6 || block[i + 1] != 5) continue;
        if (!BeginsUnit(block, i)) continue;
        std::size_t length = 0, at_words = i + 2;  // the length is a sum of bytes, all but the last 255
        while (at_words + 1 < block.size() && static_cast<unsigned char>(block[at_words]) == 255) {
          length += 255;
          ++at_words;
        }
        length += static_cast<unsigned char>(block[at_words]);
        at_words += 17;  // the last byte of the length, and a UUID
        if (length <= 16 || at_words >= block.size()) continue;
        const std::string text = block.substr(at_words, std::min<std::size_t>(length - 16, 4096));
        if (!HasWords(text)) continue;
        Add("H.264 user data", text, text.starts_with("x264 - core"));
        i += 19;
      }
      if (count < static_cast<std::int64_t>(kScanBlock)) break;
      at += count - 64;  // what lies across two blocks
    }
    return true;
  }

  static bool BeginsUnit(const std::string& block, std::size_t i) {
    const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(block[k]); };
    if (byte(i - 1) == 1 && byte(i - 2) == 0 && byte(i - 3) == 0) return true;
    const std::uint32_t length = static_cast<std::uint32_t>(byte(i - 4)) << 24 |
                                 static_cast<std::uint32_t>(byte(i - 3)) << 16 |
                                 static_cast<std::uint32_t>(byte(i - 2)) << 8 | byte(i - 1);
    return length > 18 && length < 65536;
  }

  static bool HasWords(const std::string& text) {
    const auto letters = std::count_if(text.begin(), text.end(), [](char c) { return c >= 32 && c < 127; });
    return text.size() >= 4 && letters * 10 >= static_cast<std::ptrdiff_t>(text.size()) * 9;
  }

  ByteReader& file_;
  CarriedData& data_;
  std::int64_t most_media_;
  int boxes_ = 0;
};

}  // namespace

bool SeeBoxes(ByteReader& file, CarriedData& data, std::int64_t most_media) {
  data.kind = "MP4";
  return BoxWalker(file, data, most_media).Walk(0, file.size(), 0);
}

}  // namespace afterscope
