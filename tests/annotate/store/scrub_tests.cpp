// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text_search.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/step_list_file.hpp"
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

TEST_CASE("A scrub leaves the checkpoints' names, ids and digests as they are", "[store][scrub]") {
  MemoryFiles files;
  REQUIRE(CaseSession::Create(kScrubbedFolder, TwoRecordings(), files).ok());
  REQUIRE(Remark(files, "mark-1", "Mark did well").ok());
  const auto last_digest = [&] {
    const std::string journal =
        files.ReadAll(std::string(kScrubbedFolder) + "/reviews/mark-1/journal", 1 << 20).value();
    return journal.substr(journal.rfind('\n', journal.size() - 2) + 1, 64);
  };
  // A part of a name of a member ("marks") and of ids; then of a digest.
  for (const bool is_digest : {false, true}) {
    const std::string text = is_digest ? last_digest().substr(0, 6) : "Mark";
    CAPTURE(text);
    {
      const auto session = CaseSession::Open(kScrubbedFolder, {ReviewId{"mark-1"}, "", false, {}}, files);
      REQUIRE(session.ok());
      REQUIRE((*session)->Scrub(text).ok());
      CHECK((*session)->review().moments.at(0).text == "[scrubbed] did well");
    }
    const auto again = CaseSession::Open(kScrubbedFolder, {ReviewId{"mark-1"}, "", false, {}}, files);
    REQUIRE(again.ok());
    CHECK((*again)->cautions().empty());
  }
  std::string bytes;
  AllBytes(files, kScrubbedFolder, bytes);
  CHECK(bytes.find("set-aside") == std::string::npos);
  CHECK(IdsThatHold(files, kScrubbedFolder, "Mark") == std::vector<std::string>{"mark-1"});
}

TEST_CASE("A scrub gives each plan whose name holds the text a name of its own", "[store][scrub]") {
  MemoryFiles files;
  REQUIRE(CaseSession::Create(kScrubbedFolder, TwoRecordings(), files).ok());
  const std::string clips = std::string(kScrubbedFolder) + "/clips/";
  REQUIRE(MakeFolders(files, clips).ok());
  Write(files, clips + "scrubbed.json", R"({"parts": "earlier"})");
  Write(files, clips + "muller-1.json", R"({"parts": "one"})");
  Write(files, clips + "muller-1.vtt", "WEBVTT\n\none\n");
  Write(files, clips + "Muller-2.json", R"({"parts": "two"})");
  REQUIRE(ScrubCase(files, kScrubbedFolder, "Muller", "m1").ok());
  std::string bytes;
  AllBytes(files, std::string(kScrubbedFolder) + "/clips", bytes);
  INFO(bytes);
  CHECK(FindCaseless(bytes, "muller").empty());
  for (const char* part : {"earlier", "one", "two"}) CHECK(bytes.find(part) != std::string::npos);
  const bool first = files.Stat(clips + "scrubbed-2.vtt")->type == FileType::kRegular;
  const std::string of_one =
      files.ReadAll(clips + (first ? "scrubbed-2.json" : "scrubbed-3.json"), 99).value();
  CHECK(of_one.find("one") != std::string::npos);
}

TEST_CASE("A scrub reaches the case's own lists and sheets, which can be read still", "[store][scrub]") {
  MemoryFiles files;
  CaseRecord record = TwoRecordings();
  record.step_list = "muller";
  REQUIRE(CaseSession::Create(kScrubbedFolder, record, files).ok());
  const std::string folder = std::string(kScrubbedFolder) + "/";
  Write(files, folder + "muller.json",
        R"({"id": "muller", "name": "Dr M\u00fcller's, MULLER", "extends": "base",
    "steps": [{"key": "Muller", "name": "As Muller does", "shortcut": "u"},
              {"key": "muller", "name": "Again", "shortcut": ""}],
    "checks": [{"key": "rim", "name": "Muller's rim", "step": "Muller"}]})");
  Write(files, folder + "base.json",
        R"({"id": "base", "name": "Base", "steps": [{"key": "a", "name": "A"}]})");
  Write(files, folder + "notes.json", R"({"by": "muller, the user's own"})");
  REQUIRE(MakeFolders(files, folder + "score_sheets").ok());
  Write(files, folder + "score_sheets/form.json", R"({"id": "form", "name": "Muller's form", "kept": "Muller",
    "items": [{"key": "muller-a", "name": "A", "step": "Muller",
               "levels": [{"value": 0, "name": "Muller"}, {"value": 1, "name": "b", "description": "Muller"}]}]})");
  Write(files, folder + "score_sheets/other.json", "none: Muller");
  REQUIRE(ScrubCase(files, kScrubbedFolder, "Muller", "m1").ok());

  const auto list = LoadStepListFile(folder + "muller.json", files);
  REQUIRE(list.ok());
  CHECK(list->id == "muller");
  REQUIRE(list->steps.size() == 3);
  CHECK(list->steps[1].key == "[scrubbed]");
  CHECK(list->steps[1].name == "As [scrubbed] does");
  CHECK(list->steps[2].key == "[scrubbed]-2");
  CHECK(list->checks.at(0).step == "[scrubbed]");
  const auto sheet = LoadScoreSheetFile(folder + "score_sheets/form.json", files);
  REQUIRE(sheet.ok());
  CHECK(sheet->items.at(0).key == "muller-a");
  const auto session = CaseSession::Open(kScrubbedFolder, {{}, "", true}, files);
  REQUIRE(session.ok());
  CHECK((*session)->record().step_list == "muller");
  std::string bytes;
  AllBytes(files, kScrubbedFolder, bytes);
  for (const char* word : {"As Muller", "MULLER", "Muller's", "\"Muller\"", "none: Muller"})
    CHECK(bytes.find(word) == std::string::npos);
  CHECK(bytes.find("muller, the user's own") != std::string::npos);
  CHECK(IdsThatHold(files, kScrubbedFolder, "MULLER") == std::vector<std::string>{"muller", "muller-a"});
}

TEST_CASE("A scrub reaches the hand of a trail, and leaves ids so that undo works", "[store][scrub]") {
  MemoryFiles files;
  REQUIRE(CaseSession::Create(kScrubbedFolder, TwoRecordings(), files).ok());
  const auto session = CaseSession::Open(kScrubbedFolder, {ReviewId{"r1"}, "", false, {}}, files);
  REQUIRE(session.ok());
  REQUIRE((*session)->Commit({"A", {Put<Trail>{{{"muller"}, "forceps", "Dr Muller", {}, {}}}}}).ok());
  REQUIRE((*session)->Commit({"B", {Put<Trail>{{{"t2"}, "hook", "main", {}, {}}}}}).ok());
  REQUIRE((*session)->Scrub("Muller").ok());
  CHECK((*session)->review().trails.at(0).hand == "Dr [scrubbed]");
  CHECK((*session)->review().trails.at(0).id.value == "muller");
  CHECK(IdsThatHold(files, kScrubbedFolder, "muller") == std::vector<std::string>{"muller"});
  REQUIRE((*session)->Scrub("main").ok());
  CHECK((*session)->review().trails.at(1).hand == "main");
  REQUIRE((*session)->Undo().ok());
  REQUIRE((*session)->Undo().ok());
  CHECK((*session)->review().trails.empty());
}

TEST_CASE("What a scrub may have left of a text is known", "[store][scrub]") {
  CHECK(MayBeScrubbedOf("as it was", "as it was"));
  CHECK_FALSE(MayBeScrubbedOf("as it was", "as it was not"));
  CHECK(MayBeScrubbedOf("[scrubbed]", "Castor"));
  CHECK(MayBeScrubbedOf("for [scrubbed], by [scrubbed]!", "for Castor, by Pollux!"));
  CHECK_FALSE(MayBeScrubbedOf("for [scrubbed], by [scrubbed]!", "for Castor and Pollux!"));
  CHECK_FALSE(MayBeScrubbedOf("aba[scrubbed]aba", "ababa"));
  CHECK_FALSE(MayBeScrubbedOf("for [scrubbed]", "by Castor"));
}

}  // namespace afterscope
