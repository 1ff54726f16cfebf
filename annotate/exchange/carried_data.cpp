// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_data.hpp"

#include "annotate/case/text.hpp"
#include "annotate/exchange/carried_parts.hpp"
#include "annotate/exchange/carried_text.hpp"
#include "annotate/platform/machine.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::int64_t kMostPdf = 256LL << 20;
constexpr std::size_t kMostPdfValue = 65536;
constexpr std::int64_t kMostText = 256LL << 20;
constexpr std::int64_t kMostShown = 400;
constexpr int kMostChunks = 1'000'000;
// Chunks with nothing but pictures, their colours and their size.
constexpr std::array<std::string_view, 19> kPlainChunks{
    "IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "sBIT", "bKGD",
    "hIST", "pHYs", "cICP", "mDCV", "cLLI", "sTER", "acTL", "fcTL", "fdAT"};

std::string StartOf(ByteReader& file, std::int64_t begin, std::int64_t end) {
  return Shortened(file.Bytes(begin, std::min(end - begin, kMostShown)));
}

void SeeAfterEnd(ByteReader& file, std::int64_t end, CarriedData& data) {
  if (end < file.size()) data.items.push_back({"after the end", StartOf(file, end, file.size()), false});
}

// Where the next marker stands after a JPEG's coded picture, in which 0xFF is followed by 0, by 0xFF or by a
// restart marker's number; -1 where there is none.
std::int64_t MarkerAfterScan(ByteReader& file, std::int64_t at) {
  constexpr std::int64_t kBlock = 1 << 16;
  while (at + 2 <= file.size()) {
    const std::string block = file.Bytes(at, std::min(kBlock, file.size() - at));
    if (block.empty()) return -1;
    for (std::size_t i = 0; i + 1 < block.size(); ++i) {
      const auto number = static_cast<unsigned char>(block[i + 1]);
      const bool coded = number == 0 || number == 0xFF || (number >= 0xD0 && number <= 0xD7);
      if (block[i] == '\xFF' && !coded) return at + static_cast<std::int64_t>(i);
    }
    at += static_cast<std::int64_t>(block.size()) - 1;
  }
  return -1;
}

// The text between the parentheses or the words after a name of a PDF's information.
std::string PdfValue(const std::string& bytes, std::size_t after) {
  const std::size_t open = bytes.find_first_not_of(" \r\n", after);
  if (open == std::string::npos || (bytes[open] != '(' && bytes[open] != '<')) return {};
  const std::string_view value = std::string_view(bytes).substr(open + 1, kMostPdfValue);
  const std::size_t close = value.find(bytes[open] == '(' ? ')' : '>');
  return close == std::string_view::npos ? std::string() : std::string(value.substr(0, close));
}

// Says whether places of a PDF, each behind the one before, lie in an item of its outline (ISO 32000-1,
// 12.3.3), which has a parent as the document's information has none.
class OutlineItems {
 public:
  explicit OutlineItems(std::string_view bytes) : bytes_(bytes), next_(bytes.find(" obj")) {}

  bool Has(std::size_t at) {
    for (; next_ <= at; next_ = bytes_.find(" obj", next_ + 1)) begin_ = next_;
    if (end_ < at) end_ = bytes_.find("endobj", at);
    if (begin_ == kNone || end_ == kNone) return false;
    if (parent_ < begin_) parent_ = bytes_.find("/Parent", begin_);
    return parent_ < end_;
  }

 private:
  static constexpr std::size_t kNone = std::string_view::npos;
  std::string_view bytes_;
  std::size_t begin_ = kNone, next_, end_ = 0, parent_ = 0;
};

}  // namespace

bool CarriedData::Clean() const {
  return std::all_of(items.begin(), items.end(), [](const CarriedItem& item) { return item.harmless; });
}

std::string Shortened(const std::string& text) {
  std::string out = text.substr(0, 200);
  for (char& c : out)
    if (static_cast<unsigned char>(c) < 32 || static_cast<unsigned char>(c) > 126) c = ' ';
  return std::string(Trimmed(out));
}

// PNG (ISO/IEC 15948): chunks of length, type, data, checksum.
bool SeePng(ByteReader& file, CarriedData& data) {
  data.kind = "PNG";
  int chunks = 0;
  for (std::int64_t at = 8; at < file.size();) {
    const auto length = file.Number(at, 4);
    const std::string type = file.Bytes(at + 4, 4);
    if (!length || type.empty() || ++chunks > kMostChunks) return false;
    const std::int64_t next = at + 12 + static_cast<std::int64_t>(*length);
    if (next > file.size()) return false;
    if (std::find(kPlainChunks.begin(), kPlainChunks.end(), type) == kPlainChunks.end())
      data.items.push_back({Shortened(type), StartOf(file, at + 8, next - 4), false});
    if (type == "IEND") {
      SeeAfterEnd(file, next, data);
      return true;
    }
    at = next;
  }
  return false;
}

// JPEG (ISO/IEC 10918-1): segments, and after each start of a scan its coded picture, until the end of the
// image. APP0 (JFIF) and APP14 say how colours are stored.
bool SeeJpeg(ByteReader& file, CarriedData& data) {
  data.kind = "JPEG";
  int segments = 0;
  for (std::int64_t at = 2; at < file.size();) {
    const auto marker = file.Number(at, 2);
    if (!marker || *marker < 0xFF00 || ++segments > kMostChunks) return false;
    if (*marker == 0xFFD9) {
      SeeAfterEnd(file, at + 2, data);
      return true;
    }
    const auto length = file.Number(at + 2, 2);
    if (!length || *length < 2) return false;
    const std::int64_t next = at + 2 + static_cast<std::int64_t>(*length);
    const bool application = *marker > 0xFFE0 && *marker <= 0xFFEF && *marker != 0xFFEE;
    if (application || *marker == 0xFFFE)
      data.items.push_back({*marker == 0xFFFE ? "comment" : fmt::format("APP{}", *marker - 0xFFE0),
                            StartOf(file, at + 4, next), false});
    at = *marker == 0xFFDA ? MarkerAfterScan(file, next) : next;
    if (at < 0) return false;
  }
  return false;
}

// PDF (ISO 32000-1, 14.3.3): the information dictionary's entries, where they are not compressed. What stands
// in the outline is read on the pages too.
bool SeePdf(ByteReader& file, CarriedData& data) {
  data.kind = "PDF";
  const std::string bytes = file.Bytes(0, std::min(file.size(), kMostPdf));
  int headings = 0;
  OutlineItems outline(bytes);
  for (const char* name :
       {"/Title", "/Author", "/Subject", "/Keywords", "/Creator", "/Producer", "/CreationDate", "/ModDate"})
    for (std::size_t at = bytes.find(name); at != std::string::npos; at = bytes.find(name, at + 1)) {
      const std::string value = PdfValue(bytes, at + std::string_view(name).size());
      const std::string_view key(name + 1);
      if (key == "Title" && outline.Has(at))
        ++headings;
      else if (!value.empty())
        data.items.push_back({std::string(key), Shortened(value), key == "Creator" || key == "Producer"});
    }
  if (headings > 0)
    data.items.push_back({"outline", fmt::format("{} headings: read the pages for names", headings), true});
  if (bytes.find("/Type /Metadata") != std::string::npos || bytes.find("/Type/Metadata") != std::string::npos)
    data.items.push_back({"Metadata", "an XMP packet", false});
  return bytes.find("%%EOF") != std::string::npos;
}

Result<CarriedData> WhatFileCarries(const std::string& path, std::int64_t most_media) {
  AFTERSCOPE_TRY(LookAtRegularFile(path));
  ByteReader file(path);
  if (!file.ok())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't read '{}': it is not there or not a file.", path)};
  const std::string head = file.Bytes(0, std::min<std::int64_t>(file.size(), 16));
  CarriedData data;
  bool whole = false;
  if (head.size() >= 8 &&
      (head.substr(4, 4) == "ftyp" || head.substr(4, 4) == "moov" || head.substr(4, 4) == "mdat"))
    whole = SeeBoxes(file, data, most_media);
  else if (head.starts_with("\x1A\x45\xDF\xA3"))
    whole = SeeMatroska(file, data);
  else if (head.starts_with("\x89PNG"))
    whole = SeePng(file, data);
  else if (head.starts_with("\xFF\xD8"))
    whole = SeeJpeg(file, data);
  else if (head.starts_with("%PDF"))
    whole = SeePdf(file, data);
  else if (const TextKind kind = TextKindOf(path, head); kind != TextKind::kNone)
    whole = SeeText(kind, file.Bytes(0, std::min(file.size(), kMostText)), data);
  else
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't say what '{}' carries: it is no MP4, WebM, PNG, JPEG, PDF, HTML, WebVTT, "
                             "SubRip, JSON or CSV.",
                             path)};
  if (!whole)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't say what '{}' carries: it is cut off or contradicts itself as {}.", path,
                             data.kind)};
  return data;
}

}  // namespace afterscope
