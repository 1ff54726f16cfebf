// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/phrase.hpp"
#include "annotate/narration/spoken_number.hpp"
#include "tests/annotate/narration/narration_support.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

const NarrationRules& English() {
  for (const NarrationRules& rules : ShippedRules())
    if (rules.language == "en") return rules;
  FAIL("no English rules");
  return ShippedRules().front();
}

double Said(const std::string& text) {
  const std::vector<SpokenWord> words = WordsIn(text);
  const auto number = NumberAt(words, 0, English());
  REQUIRE(number);
  CHECK(number->end == words.size());
  return number->value;
}

bool Matches(const std::string& phrase, const std::string& text) {
  const auto parsed = Phrase::Parse(phrase, {{"visco", {"visco", "ovd"}}});
  REQUIRE(parsed.ok());
  return parsed->FindIn(WordsIn(text)).has_value();
}

}  // namespace

TEST_CASE("Words lose case and accents, and keep their place", "[narration]") {
  const std::string text = "Pongo el VISCOELÁSTICO, 2.8 mm; I/A.";
  const std::vector<SpokenWord> words = WordsIn(text);
  REQUIRE(words.size() == 6);
  CHECK(words[2].plain == "viscoelastico");
  CHECK(text.substr(words[2].begin, words[2].end - words[2].begin) == "VISCOELÁSTICO");
  CHECK(words[3].plain == "2.8");
  CHECK(words[5].plain == "ia");
  CHECK(WordsIn("\xff\xfe ... \xc3").empty());
}

TEST_CASE("The spelling distance is the optimal string alignment distance", "[narration]") {
  CHECK(SpellingDistance("kitten", "sitting", 5) == 3);  // Levenshtein's usual example, from memory
  CHECK(SpellingDistance("ca", "abc", 5) ==
        3);  // 2 by the unrestricted distance; from memory of Boytsov 2011
  CHECK(SpellingDistance("ab", "ba", 5) == 1);
  CHECK(SpellingDistance("abcdef", "uvwxyz", 2) == 3);
  CHECK(SpellingDistance("", "abc", 5) == 3);
}

TEST_CASE("Phrases are found though they were misheard", "[narration]") {
  CHECK(Matches("capsulorhexis", "starting the capsule or hexis now"));
  CHECK(Matches("viscoelastic", "put in some disco elastic"));
  CHECK(Matches("hydrodissection", "hydro the section now"));
  CHECK(Matches("main incision", "the main in scission"));
  CHECK_FALSE(Matches("lens", "less of it was there"));
  CHECK_FALSE(Matches("capsulorhexis", "the capsule is intact"));
  CHECK(Matches("chop*", "we are chopping"));
  CHECK(Matches("{visco} + wash", "now wash all the OVD"));
  CHECK_FALSE(Matches("{visco} + !wash", "now wash all the OVD"));
  CHECK_FALSE(Phrase::Parse("{nothing}", {}).ok());
  CHECK_FALSE(Phrase::Parse("!wash", {}).ok());
  CHECK_FALSE(Phrase::Parse(" ", {}).ok());
}

TEST_CASE("Numbers are read as they are said", "[narration]") {
  CHECK(Said("350") == 350);
  CHECK(Said("two point eight") == Approx(2.8));
  CHECK(Said("2 point 2") == Approx(2.2));
  CHECK(Said("three fifty") == 350);
  CHECK(Said("one ten") == 110);
  CHECK(Said("three hundred and fifty") == 350);
  CHECK(Said("four thousand") == 4000);
  CHECK(Said("thirty eight") == 38);
  CHECK(Said("twelve") == 12);
  CHECK_FALSE(NumberAt(WordsIn("vacuum"), 0, English()));
}

}  // namespace afterscope
