// SPDX-License-Identifier: Apache-2.0
#include "app/common/assets.hpp"
#include "app/desktop/clips/share_list.hpp"
#include "app/desktop/desk/word_list.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("The list before sharing says what is known of the clip", "[clips]") {
  CaseRecord record;
  record.code = "K1";
  Review review;
  ClipPlan plan;
  plan.parts.resize(2);
  const ShareFacts facts{record, review, plan, "local teaching", "2026-05-01"};
  CHECK(KnownOf("consent", facts).find("no consent") != std::string::npos);
  CHECK(KnownOf("covers", facts) == "No cover is set in this review.");
  CHECK(KnownOf("sound", facts) == "The recordings’ sound is muted in all parts.");
  CHECK(KnownOf("law", facts).empty());

  record.consent = {{"local teaching", true, false, ""}};
  Mark cover;
  cover.kind = MarkKind::kCover;
  review.marks = {cover};
  plan.parts[1].sound = ClipSound::kOriginal;
  plan.parts[0].text = "Rhexis";
  review.captions.resize(3);
  CHECK(KnownOf("consent", facts) == "The case notes the consent for local teaching.");
  CHECK(KnownOf("covers", facts) == "1 cover will be burnt in.");
  CHECK(KnownOf("sound", facts) == "1 part keeps its sound.");
  CHECK(KnownOf("names", facts) == "Titles: 1. Captions of the narration: 3 in the case.");
}

TEST_CASE("The list before sharing asks for consent, covers, sound, names and the law", "[clips]") {
  const auto list = LoadWordList(AssetsFolder() + "/sharing.json", "checks");
  REQUIRE(list.ok());
  std::string keys;
  for (const WordList::Item& item : list->items) keys += item.key + " ";
  CHECK(keys == "consent covers sound names law ");
}

}  // namespace afterscope
