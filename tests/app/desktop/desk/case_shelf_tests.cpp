// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_session.hpp"
#include "app/desktop/desk/case_shelf.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <filesystem>

namespace afterscope {
namespace {

void MakeCaseOf(const std::string& folder, const std::string& code, const std::string& date) {
  std::filesystem::create_directories(std::filesystem::path(folder).parent_path());
  CaseRecord record;
  record.code = code;
  record.date = date;
  REQUIRE(CaseSession::Create(folder, record).ok());
}

std::vector<std::string> CodesOf(const std::vector<ShelfCase>& cases) {
  std::vector<std::string> codes;
  for (const ShelfCase& each : cases) codes.push_back(each.code);
  return codes;
}

}  // namespace

TEST_CASE("Cases of a folder and of those in it are listed by date; the share done is told", "[shelf]") {
  const TemporaryFolder folder;
  MakeCaseOf(folder / "b", "B", "2026-03-02");
  MakeCaseOf(folder / "inner/a", "A", "2026-03-01");
  MakeCaseOf(folder / "c", "C", "2026-03-03");
  std::vector<double> shares;
  const auto cases = FindCases(folder.path(), [&](double share) { shares.push_back(share); }, {});
  CHECK(CodesOf(cases) == std::vector<std::string>{"A", "B", "C"});
  REQUIRE(shares.size() == 3);
  CHECK(shares[0] == Approx(1.0 / 3));
  CHECK(shares[1] == Approx(2.0 / 3));
  CHECK(shares[2] == Approx(1.0));
}

TEST_CASE("A case whose consent's date to delete by has passed is listed as such", "[shelf]") {
  const TemporaryFolder folder;
  for (const char* until : {"2020-01-31", "2999-12-31", ""}) {
    CaseRecord record;
    record.consent = {{"review", true, false, ""}, {"local teaching", true, false, until}};
    REQUIRE(CaseSession::Create(folder / fmt::format("until-{}", until), record).ok());
  }
  std::vector<std::string> overdue;
  for (const ShelfCase& each : FindCases(folder.path(), {}, {}))
    if (!each.delete_by.empty()) overdue.push_back(each.code + " " + each.delete_by);
  CHECK(overdue == std::vector<std::string>{"until-2020-01-31 2020-01-31"});
}

TEST_CASE("Looking for cases that is stopped gives those that were looked at", "[shelf]") {
  const TemporaryFolder folder;
  for (const char* name : {"a", "b", "c"}) MakeCaseOf(folder / name, name, "2026-03-01");
  double reached = 0;
  const auto cases = FindCases(
      folder.path(), [&](double share) { reached = share; }, [&] { return reached > 0.5; });
  CHECK(cases.size() == 2);
  CHECK(FindCases(folder.path(), {}, [] { return true; }).empty());
  CHECK(FindCases(folder / "nowhere", {}, {}).empty());
}

}  // namespace afterscope
