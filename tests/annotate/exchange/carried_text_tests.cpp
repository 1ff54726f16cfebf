// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/carried_data.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>

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

}  // namespace

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

}  // namespace afterscope
