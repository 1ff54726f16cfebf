// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/review_access.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

ReviewSummary Summary(const char* id, bool is_self, bool is_signed,
                      ReviewKind kind = ReviewKind::kFormative) {
  ReviewSummary review;
  review.id = review.version_of = {id};
  review.is_self = is_self;
  review.is_signed = is_signed;
  review.kind = kind;
  return review;
}

ReviewSummary Version(ReviewSummary review, const char* id, int version, bool is_signed) {
  review.id = {id};
  review.version = version;
  review.is_signed = is_signed;
  return review;
}

bool Both(const std::vector<ReviewSummary>& all, const char* a, const char* b) {
  const bool one = MayBeShown(all, {a}, {b});
  CHECK(MayBeShown(all, {b}, {a}) == one);
  return one;
}

}  // namespace

TEST_CASE("The own view and the mentor's are hidden from each other until both are signed", "[case]") {
  for (const bool self_signed : {false, true})
    for (const bool mentor_signed : {false, true}) {
      const std::vector all{Summary("self", true, self_signed), Summary("mentor", false, mentor_signed)};
      CHECK(Both(all, "self", "mentor") == (self_signed && mentor_signed));
    }
}

TEST_CASE("Formal reviews are made independently, formative ones are open to each other", "[case]") {
  CHECK(Both({Summary("a", false, false), Summary("b", false, false)}, "a", "b"));
  CHECK_FALSE(Both({Summary("a", false, true, ReviewKind::kFormal), Summary("b", false, false)}, "a", "b"));
  CHECK(Both({Summary("a", false, true, ReviewKind::kFormal), Summary("b", false, true)}, "a", "b"));
}

TEST_CASE("A later version that is not signed yet is not shown, and does not hide what was shown", "[case]") {
  const ReviewSummary mentor = Summary("m", false, true);
  const std::vector all{Summary("s", true, true), mentor, Version(mentor, "m-v2", 2, false)};
  CHECK(MayBeShown(all, {"m"}, {"s"}));
  CHECK_FALSE(MayBeShown(all, {"m-v2"}, {"s"}));
  CHECK(MayBeShown(all, {"s"}, {"m-v2"}));
  CHECK(MayBeShown(all, {"m"}, {"m-v2"}));
  CHECK_FALSE(MayBeShown(all, {"nobody"}, {"s"}));
}

TEST_CASE("Figures take one kind of review only, never the own view", "[case]") {
  const ReviewSummary formal = Summary("f", false, true, ReviewKind::kFormal);
  std::vector all{Summary("a", false, false), Summary("s", true, true), formal};
  CHECK(ReviewForFigures(all, ReviewKind::kFormative) == ReviewId{"a"});
  CHECK(ReviewForFigures(all, ReviewKind::kFormal) == ReviewId{"f"});
  all.push_back(Version(formal, "f-v2", 2, false));
  CHECK(ReviewForFigures(all, ReviewKind::kFormal) == ReviewId{"f"});
  all.back().is_signed = true;
  CHECK(ReviewForFigures(all, ReviewKind::kFormal) == ReviewId{"f-v2"});
  CHECK_FALSE(ReviewForFigures({Summary("s", true, true)}, ReviewKind::kFormative));
  CHECK_FALSE(ReviewForFigures({Summary("f", false, false, ReviewKind::kFormal)}, ReviewKind::kFormal));
  CHECK(ReviewForFigures({Summary("a", false, true), Summary("b", false, false)}, ReviewKind::kFormative) ==
        ReviewId{"a"});
}

}  // namespace afterscope
