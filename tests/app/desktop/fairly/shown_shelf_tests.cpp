// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/shown_shelf.hpp"
#include "tests/app/desktop/fairly/fairly_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace afterscope {
namespace {

std::vector<ShelfCase> Shelf(std::size_t count) {
  std::vector<ShelfCase> shelf(count);
  for (std::size_t i = 0; i < count; ++i) {
    shelf[i].folder = fmt::format("/day/secret-{}", i);
    shelf[i].code = fmt::format("secret-{}", i);
    shelf[i].date = "2026-01-01";
    shelf[i].who = "secret";
  }
  return shelf;
}

std::string NumberOf(const std::vector<ShownShelfCase>& shown, std::size_t place) {
  const auto found = std::find_if(shown.begin(), shown.end(),
                                  [&](const ShownShelfCase& entry) { return entry.place == place; });
  return found == shown.end() ? "" : found->name;
}

}  // namespace

TEST_CASE("A list without names says numbers only, each case once, in another order", "[fairly]") {
  const auto shelf = Shelf(10);
  const auto shown = ShownShelf(shelf, true, "M1");
  REQUIRE(shown.size() == shelf.size());
  std::set<std::size_t> places;
  bool in_order = true;
  for (std::size_t i = 0; i < shown.size(); ++i) {
    CHECK(shown[i].nameless);
    CHECK((shown[i].name + shown[i].date + shown[i].who).find("secret") == std::string::npos);
    CHECK(shown[i].date.empty());
    CHECK(shown[i].name == fmt::format("Case {}", i + 1));
    places.insert(shown[i].place);
    in_order = in_order && shown[i].place == i;
  }
  CHECK(places.size() == shelf.size());
  CHECK_FALSE(in_order);
  CHECK(ShownShelf(Shelf(0), true, "").empty());
}

TEST_CASE("Among named cases only those under one's own blinded review are numbers, after the others",
          "[fairly]") {
  auto shelf = Shelf(8);
  shelf[2].reviews = {Listed("r1", "M1", false, Blinding::kBlinded)};
  shelf[3].reviews = {Listed("r1", "M2", false, Blinding::kBlinded)};  // another's
  shelf[4].reviews = {Listed("r1", "M1", true, Blinding::kBlinded)};   // signed
  const auto shown = ShownShelf(shelf, false, "M1");
  REQUIRE(shown.size() == 8);
  CHECK(std::count_if(shown.begin(), shown.end(), [](const auto& entry) { return entry.nameless; }) == 1);
  CHECK(shown.back().place == 2);
  CHECK(shown.front().name == "secret-0");
  // The same number in both lists.
  CHECK(NumberOf(ShownShelf(shelf, true, "M1"), 2) == shown.back().name);
  // Without a code, every blinded review may be the user's.
  CHECK(IsBlindFor(shelf[3], ""));
  CHECK_FALSE(IsBlindFor(shelf[3], "M1"));
}

}  // namespace afterscope
