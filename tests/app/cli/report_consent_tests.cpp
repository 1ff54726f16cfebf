// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

std::string RunBesideData(const TemporaryFolder& folder, const std::string& arguments) {
  int status = 0;
  std::string out =
      OutputOf(fmt::format("cd {0} && XDG_DATA_HOME={0}/data XDG_CACHE_HOME={0}/cache {1} {2} 2>&1",
                           folder.path(), places::kProgram, arguments),
               &status);
  INFO(out);
  CHECK(status == 0);
  return out;
}

bool HasText(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

struct MadeReport {
  std::string told;
  std::string page;
  bool HasPicture() const { return HasText(page, "data:image/jpeg"); }
};

// The output file's content after what was told.
MadeReport Made(const TemporaryFolder& folder, const std::string& arguments) {
  std::filesystem::remove(folder / "r.html");
  MadeReport made;
  made.told = RunBesideData(folder, arguments);
  made.page = OutputOf("cat " + (folder / "r.html"));
  return made;
}

}  // namespace

TEST_CASE("A report shows no more pictures than the consent reaches, and says what it does not reach",
          "[commands][report]") {
  const TemporaryFolder folder;
  REQUIRE(std::system(("ffmpeg -v error -f lavfi -i testsrc=d=2:s=160x120:r=25 -c:v libx264 -g 50 " +
                       (folder / "v.mp4"))
                          .c_str()) == 0);
  RunBesideData(folder, "new c --recording v.mp4 --set code=k1 --set date=2026-01-02 --set operator_code=t1");
  RunBesideData(folder, "tag c --reviewer m1 --step rhexis --at 0 --to 1");
  RunBesideData(folder, "tag c --reviewer m1 --moment 'teaching point' --at 0.4 --text gently");
  const std::string report = "report c -o r.html", progress = "series . --operator t1 --progress r.html";
  const auto consent = [&](const std::string& purpose, const std::string& text) {
    RunBesideData(folder, fmt::format("tag c --set 'consent.{}={}'", purpose, text));
  };

  // Nothing of consent is noted: local use goes on as ever.
  MadeReport made = Made(folder, report);
  CHECK(made.HasPicture());
  CHECK_FALSE(HasText(made.told, "local teaching"));
  CHECK(Made(folder, progress).HasPicture());

  consent("review", "given");
  made = Made(folder, report);
  const std::string review_alone =
      "for the review of the case alone, not for local teaching: no consent for that";
  CHECK(made.HasPicture());
  CHECK(HasText(made.told, review_alone));
  CHECK(HasText(made.page, review_alone));
  made = Made(folder, progress);
  CHECK_FALSE(made.HasPicture());
  CHECK(HasText(made.page, "the consent of this case does not reach local teaching"));

  consent("local teaching", "given until 2026-02-01");
  CHECK(HasText(Made(folder, report).told, "not for local teaching: it was to be deleted by 2026-02-01"));

  consent("review", "withdrawn");
  made = Made(folder, report);
  const std::string none =
      "No picture of the operation is shown. For local teaching: it was to be deleted by";
  CHECK_FALSE(made.HasPicture());
  CHECK(HasText(made.told, none));
  CHECK(HasText(made.page, none));

  consent("local teaching", "given");
  made = Made(folder, report);
  CHECK(made.HasPicture());
  CHECK_FALSE(HasText(made.told, "local teaching"));
  CHECK(Made(folder, progress).HasPicture());
}

}  // namespace afterscope
