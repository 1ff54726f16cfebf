// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text_search.hpp"

#include <catch2/catch.hpp>

#include <string>

namespace afterscope {
namespace {

std::string Found(const std::string& text, const std::string& wanted, TextForm form = TextForm::kPlain) {
  std::string all;
  for (const ByteRange& range : FindCaseless(text, wanted, form))
    all += "[" + text.substr(range.begin, range.end - range.begin) + "]";
  return all;
}

}  // namespace

// Pairs that Unicode's canonical caseless match (D145) calls the same; checked with Python 3.11's unicodedata
// and str.casefold: NFD(casefold(NFD(a))) == NFD(casefold(NFD(b))).
TEST_CASE("Letters are the same in either case and either encoding", "[case]") {
  const std::pair<const char*, const char*> same[] = {
      {"Straße", "STRASSE"},        {"ΣΊΣΥΦΟΣ", "Σίσυφος"},  // final sigma
      {"ÅSE", "a\u030Ase"},                                  // composed and decomposed
      {"\uFB01nn", "FINN"},                                  // a ligature
      {"Çelik", "C\u0327ELIK"},                              // the mark on the other side
      {"ДМИТРИЙ", "дмитрии\u0306"}, {"রহিম", "রহিম"},       {"MÜLLER", "müller"}};
  for (const auto& [a, b] : same) {
    INFO(a << " and " << b);
    CHECK(Found(std::string("x ") + a + " y", b) == std::string("[") + a + "]");
    CHECK(Found(std::string("x ") + b + " y", a) == std::string("[") + b + "]");
  }
  CHECK(Found("Muller", "Müller").empty());
  CHECK(Found("abc", "").empty());
  CHECK(Found("", "a").empty());
  CHECK(Found("aaaa", "AA") == "[aa][aa]");
}

TEST_CASE("A character is found with its marks, and bytes that are no text match nothing", "[case]") {
  CHECK(Found("Jose\u0301 B", "jose") == "[Jose\u0301]");
  CHECK(Found("JOSÉ B", "jose") == "[JOSÉ]");
  CHECK(Found("m\xffuster muster\xff", "Muster") == "[muster]");
  CHECK(Found("\xfc\xe9", "é").empty());
}

TEST_CASE("In the bytes of a JSON file a character may be an escape", "[case]") {
  CHECK(Found(R"("M\u00fcller")", "MÜLLER", TextForm::kJsonEscapes) == R"([M\u00fcller])");
  CHECK(Found(R"("Mu\u0308ller")", "müller", TextForm::kJsonEscapes) == R"([Mu\u0308ller])");
  CHECK(Found(R"("O\"Hara")", "o\"hara", TextForm::kJsonEscapes) == R"([O\"Hara])");
  CHECK(Found(R"("\ud83d\ude00 x")", "\U0001F600", TextForm::kJsonEscapes) == R"([\ud83d\ude00])");
  CHECK(Found(R"("M\u00fcller")", "MÜLLER").empty());
  CHECK(Found("\\", "\\", TextForm::kJsonEscapes) == "[\\]");
}

}  // namespace afterscope
