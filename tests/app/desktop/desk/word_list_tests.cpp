// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/word_list.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("The words that come with the program are there", "[words]") {
  const auto complications =
      LoadWordList(std::string(places::kAssets) + "/complications.json", "complications");
  REQUIRE(complications);
  CHECK(complications->Matching("CAPSULE rupture").size() >= 2);
  CHECK(complications->Matching("").size() == complications->items.size());
  CHECK(complications->Matching("no such thing").empty());
  // Common practice, no source: PCR is the posterior capsule's rupture.
  REQUIRE(complications->Matching("PCR").size() == 2);
  CHECK(complications->Matching("PCR")[0].key == "posterior_capsule_rupture");
  // What has the word in its name comes before what has it in its definition only.
  const auto tears = complications->Matching("tear");
  REQUIRE(tears.size() >= 3);
  CHECK(tears[0].key == "anterior_capsule_tear");
  CHECK(tears[1].key == "posterior_capsule_rupture");
  const auto settings = LoadWordList(std::string(places::kAssets) + "/settings.json", "numbers");
  REQUIRE(settings);
  CHECK_FALSE(settings->items.empty());
}

TEST_CASE("A number outside its range is asked about", "[words]") {
  const WordList::Item vacuum{"vacuum_mmhg", "Vacuum", "mmHg", 0.0, 700.0, ""};
  CHECK(OddNumber(vacuum, "").empty());
  CHECK(OddNumber(vacuum, "350").empty());
  CHECK_FALSE(OddNumber(vacuum, "3500").empty());
  CHECK_FALSE(OddNumber(vacuum, "much").empty());
}

TEST_CASE("A file that holds no such list is refused with a sentence", "[words]") {
  CHECK_FALSE(LoadWordList("/nowhere/at/all.json", "numbers"));
  CHECK_FALSE(LoadWordList(std::string(places::kAssets) + "/keys.json", "numbers"));
}

}  // namespace afterscope
