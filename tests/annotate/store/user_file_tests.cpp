// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "annotate/store/user_file.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace afterscope {
namespace {

const std::string kRecording(
    "\0\0\0\x20"
    "ftypisom, and pictures",
    26);
const std::string kPdf("%PDF-1.7\n\0page", 14), kPng("\x89PNG\r\n\x1a\n\0\0", 10);

std::string BytesOf(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

void WriteBytes(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

Status Write(const std::string& path, const std::string& bytes) {
  return WriteUserFile(RealFileSystem(), path, bytes);
}

}  // namespace

TEST_CASE("What a person asks for replaces a file of its own kind alone", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "named";
  for (const std::string& there : {std::string(), std::string("a,b\n1,2\n"), kPdf, kPng, kRecording})
    for (const std::string& bytes : {std::string("name,value\n"), kPdf, kPng}) {
      WriteBytes(path, there);
      const bool text = there.empty() || there == "a,b\n1,2\n";
      const bool replaces = text || there == bytes;
      const Status written = Write(path, bytes);
      CHECK(written.ok() == replaces);
      CHECK(BytesOf(path) == (replaces ? bytes : there));
      if (!written.ok()) CHECK(written.error().message.find("of another kind") != std::string::npos);
    }
}

TEST_CASE("What a person asks for never replaces what a case is made of", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "k1";
  REQUIRE(CaseSession::Create(path, {}).ok());
  const std::string before = BytesOf(path + "/journal");
  for (const char* name : {"journal", "case.json", "lock"}) {
    const Status written = Write(path + "/" + name, "name,value\n");
    REQUIRE_FALSE(written.ok());
    CHECK(written.error().message.find("what a case is made of") != std::string::npos);
  }
  CHECK(BytesOf(path + "/journal") == before);
  std::filesystem::create_directories(path + "/clips");
  WriteBytes(path + "/clips/plan.json", "{}");
  CHECK_FALSE(Write(path + "/clips/plan.json", "{}").ok());
  // The case's own step list; not what only has such a name.
  REQUIRE(SaveStepList({"own", "Own", {{"rhexis", "Rhexis", ""}}, {}}, path + "/own.json").ok());
  CHECK_FALSE(Write(path + "/own.json", "{}").ok());
  CHECK(Write(path + "/figures.json", "{}").ok());
  CHECK(Write(path + "/figures.json", "[]").ok());
  // A link to it is the same file.
  std::filesystem::create_symlink(path + "/journal", folder / "out.csv");
  CHECK_FALSE(Write(folder / "out.csv", "name,value\n").ok());
  CHECK(BytesOf(path + "/journal") == before);
  // Beside it a report is kept and made anew.
  CHECK(Write(path + "/report.html", "<html>\n").ok());
  CHECK(Write(path + "/report.html", "<html>\n").ok());
}

}  // namespace afterscope
