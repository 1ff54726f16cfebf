// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_data.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sys/stat.h>

namespace afterscope {
namespace {

CarriedData Carried(const std::string& name, const std::string& text) {
  const TemporaryFolder folder;
  std::ofstream(folder / name, std::ios::binary) << text;
  const auto carried = WhatFileCarries(folder / name);
  INFO((carried.ok() ? "" : carried.error().message));
  REQUIRE(carried.ok());
  return *carried;
}

bool Tells(const CarriedData& data, const std::string& where, const std::string& what) {
  return std::any_of(data.items.begin(), data.items.end(), [&](const CarriedItem& item) {
    return item.where == where && !item.harmless && item.what.find(what) != std::string::npos;
  });
}

// A second of pictures with a track of words beside them, made by ffmpeg.
CarriedData WithWords(const std::string& name, const std::string& coding) {
  const TemporaryFolder folder;
  std::ofstream(folder / "words.vtt") << "WEBVTT\n\n00:00.000 --> 00:01.000\nMr Example\n";
  const std::string command = fmt::format(
      "cd {} && ffmpeg -v error -f lavfi -i color=s=64x48:d=1 -i words.vtt -map_metadata -1 -fflags "
      "+bitexact "
      "-flags:v +bitexact -c:s {} {}",
      folder.path(), coding, name);
  REQUIRE(std::system(command.c_str()) == 0);
  const auto carried = WhatFileCarries(folder / name);
  REQUIRE(carried.ok());
  return *carried;
}

}  // namespace

TEST_CASE("A track of words in a video is told", "[sharing]") {
  CHECK(Tells(WithWords("words.mp4", "mov_text"), "hdlr", "neither picture nor sound"));
  CHECK(Tells(WithWords("words.mkv", "webvtt"), "TrackType", "type 17"));  // RFC 9559, 5.1.4.1.3: a subtitle
}

TEST_CASE("A page to be shared tells what it carries beside its words", "[sharing]") {
  const CarriedData page =
      Carried("report.html",
              "<!DOCTYPE html><html><head><meta charset='utf-8'><meta name=\"author\" content=\"Dr Example\">"
              "<!-- written on theatre-pc --></head><body><a href=\"https://example.org/x\">x</a>"
              "<p>/home/example/list, 2031-02-03, someone@example.org, +12.3456+098.7654/</p>"
              // "eXIf" in base64
              "<img src=\"data:image/png;base64,ZVhJZg==\"></body></html>");
  CHECK(page.kind == "HTML");
  CHECK_FALSE(page.Clean());
  CHECK(Tells(page, "meta author", "Dr Example"));
  CHECK(Tells(page, "comment", "theatre-pc"));
  CHECK(Tells(page, "link", "example.org"));
  CHECK(Tells(page, "path", "/home/example/list"));
  CHECK(Tells(page, "date", "2031-02-03"));
  CHECK(Tells(page, "address", "someone@example.org"));
  CHECK(Tells(page, "position", "+12.3456+098.7654"));
  CHECK(Tells(page, "picture in the page", "eXIf"));
  CHECK(Carried("plain.html", "<html><body><p>The flap at 1:02.</p></body></html>").Clean());
}

TEST_CASE("Captions, tables and JSON to be shared are read too", "[sharing]") {
  const CarriedData captions = Carried(
      "clip.vtt", "WEBVTT\n\nNOTE made by Example\n\nintro\n00:00.000 --> 00:01.000\n<v Dr Example>Flap\n");
  CHECK(Tells(captions, "note", "made by Example"));
  CHECK(Tells(captions, "name of a cue", "intro"));
  CHECK(Tells(captions, "speaker", "Dr Example"));
  CHECK(Carried("clean.vtt", "WEBVTT\n\n00:00.000 --> 00:01.000\nThe flap\n").Clean());
  CHECK(Tells(Carried("t.csv", "step,patient_name\nrhexis,x\n"), "column", "patient_name"));
  CHECK(Carried("t2.csv", "step,own_s\nrhexis,41.2\n").Clean());
  CHECK(Tells(Carried("t.json", R"({"a": [{"patient": "x"}]})"), "member patient", "x"));
  const TemporaryFolder folder;
  std::ofstream(folder / "cut.json") << "{\"a\": ";
  CHECK_FALSE(WhatFileCarries(folder / "cut.json").ok());
  std::ofstream(folder / "odd.bin") << "what";
  CHECK_FALSE(WhatFileCarries(folder / "odd.bin").ok());
}

// Objects as ISO 32000-1 writes them: 14.3.3 (information), 12.3.3 (outline).
TEST_CASE("A PDF tells its information, and that it has headings", "[sharing]") {
  const std::string outline =
      "%PDF-1.5\n1 0 obj\n<< /Title (The operation)\n /Parent 9 0 R\n>>\nendobj\n"
      "2 0 obj\n<< /Title (Every step) /Parent 9 0 R >>\nendobj\n";
  const CarriedData headings = Carried("a.pdf", outline + "%%EOF\n");
  CHECK(headings.Clean());
  REQUIRE(headings.items.size() == 1);
  CHECK(headings.items[0].what.starts_with("2 headings"));
  const CarriedData named = Carried(
      "b.pdf", outline + "3 0 obj\n<< /Title (Eye of A. Example) /Author (Dr Example) >>\nendobj\n%%EOF\n");
  CHECK(Tells(named, "Title", "A. Example"));
  CHECK(Tells(named, "Author", "Dr Example"));
}

TEST_CASE("Files to be shared that are nested without end are refused, not followed", "[sharing]") {
  const TemporaryFolder folder;
  const auto refused = [&](const std::string& name, const std::string& bytes) {
    std::ofstream(folder / name, std::ios::binary) << bytes;
    return !WhatFileCarries(folder / name).ok();
  };
  CHECK(refused("deep.json", std::string(200'000, '[') + std::string(200'000, ']')));
  CHECK(Carried("bom.json", "\xEF\xBB\xBF[[1], {\"a\": 2}]").Clean());
  // Segments of unknown size (RFC 9559), and simple tags within tags, one in the other.
  const std::string head = "\x1A\x45\xDF\xA3\x80";
  std::string segments = head, tags;
  for (int i = 0; i < 199'000; ++i) segments += "\x18\x53\x80\x67\xFF";
  CHECK(refused("deep.mkv", segments));
  for (int i = 0; i < 40; ++i) {
    const char size[] = {'\x10', '\x00', static_cast<char>(tags.size() >> 8),
                         static_cast<char>(tags.size() & 0xFF)};
    tags.insert(0, std::string("\x67\xC8", 2) + std::string(size, 4));
  }
  std::string with_tags = head + "\x12\x54\xC3\x67\x10" + std::string(1, '\0') +
                          std::string(1, static_cast<char>(tags.size() >> 8)) +
                          std::string(1, static_cast<char>(tags.size() & 0xFF)) + tags;
  std::ofstream(folder / "tags.mkv", std::ios::binary) << with_tags;
  const auto carried = WhatFileCarries(folder / "tags.mkv");
  REQUIRE(carried.ok());
  CHECK_FALSE(carried->Clean());  // such tags are not taken for an encoder's
}

// Each took time by the square of its length: minutes at these.
TEST_CASE("Long files to be shared are read in one pass", "[sharing]") {
  const CarriedData page = Carried("signs.html", "<html><body>" + std::string(2'000'000, '<') +
                                                     " 1 < 2 <meta name=author content=Example>");
  CHECK(Tells(page, "meta author", "Example"));
  std::string positions, titles = "%PDF-1.4\n1 0 obj\n";
  for (int i = 0; i < 400'000; ++i) positions += "+......";
  CHECK(Tells(Carried("p.csv", "a,b\n" + positions + ",+12.3456+098.7654\n"), "position", "+12.3456"));
  for (int i = 0; i < 300'000; ++i) titles += "/Title(a)endobj";
  const CarriedData book =
      Carried("t.pdf", titles + "\n2 0 obj\n/Parent 1 0 R /Title(Chapter)\nendobj\n%%EOF");
  CHECK(Tells(book, "Title", "a"));
  CHECK_FALSE(Tells(book, "Title", "Chapter"));
}

TEST_CASE("Words in free room, in private parts and after the end of a picture are told", "[sharing]") {
  const auto box = [](const std::string& type, const std::string& bytes) {
    return std::string{0, 0, 0, static_cast<char>(bytes.size() + 8)} + type + bytes;
  };
  const std::string name = "Patient: Maria Example", zeros(40, '\0');
  const std::string start = box("ftyp", "isom"), end = box("mdat", zeros);
  for (const char* type : {"free", "skip", "wide"})
    CHECK(Tells(Carried("v.mp4", start + box(type, zeros + name) + end), type, name));
  CHECK(Carried("v.mp4", start + box("free", zeros) + box("free", "") + end).Clean());
  // ISO/IEC 15948, 5.3: length, type, data, CRC, which is not looked at here.
  const auto chunk = [](const std::string& type, const std::string& bytes) {
    return std::string{0, 0, 0, static_cast<char>(bytes.size())} + type + bytes + "crc.";
  };
  const std::string head = "\x89PNG\r\n\x1a\n" + chunk("IHDR", std::string(13, '\1')),
                    data = chunk("IDAT", "x");
  CHECK(Carried("p.png", head + data + chunk("IEND", "")).Clean());
  CHECK(Tells(Carried("p.png", head + chunk("pnNt", name) + data + chunk("IEND", "")), "pnNt", name));
  CHECK(Tells(Carried("p.png", head + data + chunk("IEND", "") + name), "after the end", name));
  // ISO/IEC 10918-1, B.1.1.5: in a scan 0xFF is followed by 0 or is a restart marker; here are two scans.
  const std::string scan("\xff\xda\0\4\1\0x\xff\0y\xff\xd0z", 13);
  const std::string jpeg = "\xff\xd8" + scan + scan;
  CHECK(Carried("p.jpg", jpeg + "\xff\xd9").Clean());
  CHECK(Tells(Carried("p.jpg", jpeg + "\xff\xd9" + name), "after the end", name));
  CHECK(
      Tells(Carried("p.jpg", jpeg + std::string("\xff\xfe\0\x18", 4) + name + "\xff\xd9"), "comment", name));
}

TEST_CASE("What is no regular file is not looked into, nor waited for", "[sharing]") {
  const TemporaryFolder folder;
  std::filesystem::create_directory(folder / "folder.csv");
  REQUIRE(::mkfifo((folder / "pipe.csv").c_str(), 0600) == 0);
  for (const char* name : {"folder.csv", "pipe.csv", "none.csv"}) {
    const auto carried = WhatFileCarries(folder / name);
    REQUIRE_FALSE(carried.ok());
    CHECK(carried.error().code == ErrorCode::kUnreadable);
  }
}

}  // namespace afterscope
