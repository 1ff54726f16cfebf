// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text_search.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/scrub.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

constexpr const char* kScrubbedFolder = "/memory/case";

void Write(FileSystem& files, const std::string& path, const std::string& bytes) {
  REQUIRE((*files.OpenAppend(path))->Append(bytes).ok());
}

Status Remark(FileSystem& files, const char* review, const std::string& text) {
  AFTERSCOPE_ASSIGN(const auto session,
                    CaseSession::Open(kScrubbedFolder, {ReviewId{review}, "", false, {}}, files));
  return session->Commit(
      {"Remark", {Put<Moment>{{session->NewMomentId(), At(10), MomentKind::kRemark, "", text, {}}}}});
}

void AllBytes(FileSystem& files, const std::string& folder, std::string& bytes) {
  const std::vector<std::string> names = files.List(folder).value();
  for (const std::string& name : names) {
    const std::string path = folder + "/" + name;
    if (files.Stat(path)->type == FileType::kDirectory)
      AllBytes(files, path, bytes);
    else
      bytes += path + "\n" + files.ReadAll(path, 1 << 20).value() + "\n";
  }
}

}  // namespace

TEST_CASE("A scrub reaches every spelling, other reviews' torn ends, and files put aside", "[store][scrub]") {
  MemoryFiles files;
  CaseRecord record = TwoRecordings();
  record.extra["note"] = "for JOSÉ MÜLLER";
  REQUIRE(CaseSession::Create(kScrubbedFolder, record, files).ok());
  REQUIRE(Remark(files, "r1", "Jose\u0301 Mu\u0308ller again").ok());
  REQUIRE(Remark(files, "r2", "nothing").ok());
  REQUIRE(Remark(files, "r3", "josé müller").ok());
  const std::string reviews = std::string(kScrubbedFolder) + "/reviews/";
  // An entry that was never acknowledged, and one damaged in the middle.
  Write(files, reviews + "r2/journal", "0123 {\"text\":\"josé müller torn");
  Write(files, reviews + "r3/journal", "damaged: Jos\\u00e9 M\\u00fcller\nmore\n");
  Write(files, reviews + "r1/journal.damaged-1", "\xff Jos\u00e9 m\u00fcller \xfe");
  Write(files, std::string(kScrubbedFolder) + "/case.json.set-aside-1",
        "{\"code\": \"JOSE\\u0301 M\\u00dcLLER\"}");
  REQUIRE(files.MakeFolder(reviews + "r9").ok());
  Write(files, reviews + "r9/journal", "not a journal: josé müller");
  Write(files, std::string(kScrubbedFolder) + "/report.pdf", "%PDF josé müller");
  Write(files, std::string(kScrubbedFolder) + "/case.json.0123456789abcdef.tmp", "josé müller");
  Write(files, std::string(kScrubbedFolder) + "/other.txt", "what is not the record's stays");
  {
    const auto session = CaseSession::Open(kScrubbedFolder, {ReviewId{"r1"}, "", false, {}}, files);
    REQUIRE(session.ok());
    const auto scrubbed = (*session)->Scrub("José Müller");
    INFO((scrubbed.ok() ? "" : scrubbed.error().message));
    REQUIRE(scrubbed.ok());
    CHECK(*scrubbed >= 3);
    CHECK((*session)->record().extra.at("note") == "for [scrubbed]");
    CHECK((*session)->review().moments.at(0).text == "[scrubbed] again");
  }
  std::string bytes;
  AllBytes(files, kScrubbedFolder, bytes);
  INFO(bytes);
  CHECK(FindCaseless(bytes, "josé müller").empty());
  CHECK(FindCaseless(bytes, "josé müller", TextForm::kJsonEscapes).empty());
  CHECK(bytes.find("what is not the record's stays") != std::string::npos);
  CHECK(bytes.find("report.pdf") == std::string::npos);
  const auto again = CaseSession::Open(kScrubbedFolder, {ReviewId{"r2"}, "", false, {}}, files);
  REQUIRE(again.ok());
  CHECK((*again)->cautions().empty());
}

TEST_CASE("A scrub reaches clip plans, captions and takes, and what was made of them", "[store][scrub]") {
  MemoryFiles files;
  REQUIRE(CaseSession::Create(kScrubbedFolder, TwoRecordings(), files).ok());
  const std::string clips = std::string(kScrubbedFolder) + "/clips/";
  REQUIRE(MakeFolders(files, clips + "voice").ok());
  REQUIRE(MakeFolders(files, clips + "sounds").ok());
  Write(files, clips + "clip.json",
        R"({"format": "afterscope clip plan", "parts": [{"kind": "title", "text": "M\u00fcller, part 1"}]})");
  Write(files, clips + "clip.vtt", "WEBVTT\n\n00:00.000 --> 00:01.000\nfor Müller\n");
  Write(files, clips + "clip.mp4", "a picture that shows the name");
  Write(files, clips + "sounds/Müller.mp3", "sound");
  Write(files, clips + "voice/takes.json",
        R"({"takes": [{"id": "take1", "file": "take-1.ogg", "words": "Frau MÜLLER"},
                      {"id": "take2", "file": "take-2.ogg", "words": "the flap"}]})");
  Write(files, clips + "voice/take-1.ogg", "one");
  Write(files, clips + "voice/take-2.ogg", "two");
  REQUIRE(ScrubCase(files, kScrubbedFolder, "Müller", "m1").ok());
  std::string bytes;
  AllBytes(files, kScrubbedFolder, bytes);
  CHECK(FindCaseless(bytes, "Müller", TextForm::kJsonEscapes).empty());
  CHECK(bytes.find("[scrubbed], part 1") != std::string::npos);
  CHECK(files.Stat(clips + "clip.mp4")->type == FileType::kAbsent);
  CHECK(files.Stat(clips + "voice/take-1.ogg")->type == FileType::kAbsent);
  CHECK(files.Stat(clips + "voice/take-2.ogg")->type == FileType::kRegular);
  // Once more: nothing is left to be changed.
  Write(files, clips + "new.mp4", "made since");
  REQUIRE(ScrubCase(files, kScrubbedFolder, "Müller", "m1").ok());
  CHECK(files.Stat(clips + "new.mp4")->type == FileType::kRegular);
}

}  // namespace afterscope
