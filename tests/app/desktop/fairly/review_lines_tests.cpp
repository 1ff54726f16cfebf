// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/review_lines.hpp"
#include "tests/app/desktop/fairly/fairly_support.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

Review Open(const char* id, const char* code, bool is_signed = false) {
  Review review;
  review.id = {id};
  review.reviewer_code = code;
  review.is_signed = is_signed;
  return review;
}

}  // namespace

TEST_CASE("The own view is hidden from the mentor's review until both are signed", "[fairly]") {
  std::vector<ReviewSummary> all{Listed("r1", "M1"), Listed("r2", "T1", false, Blinding::kOpen, true)};
  auto lines = ReviewLines(all, Open("r1", "M1"), false);
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].door == ReviewDoor::kThis);
  CHECK(lines[1].door == ReviewDoor::kHidden);
  CHECK(lines[1].who == "the operator's own view, T1");
  all[1].is_signed = true;
  CHECK(ReviewLines(all, Open("r1", "M1"), false)[1].door == ReviewDoor::kHidden);
  all[0].is_signed = true;
  CHECK(ReviewLines(all, Open("r1", "M1", true), false)[1].door == ReviewDoor::kOpen);
}

TEST_CASE("From a blinded review no code and no date of others is said, and none may be opened", "[fairly]") {
  const std::vector<ReviewSummary> all{Listed("r1", "M2", true),
                                       Listed("r2", "T1", true, Blinding::kOpen, true)};
  Review open = Open("r3", "M1");
  open.blinding = Blinding::kBlinded;
  const auto lines = ReviewLines(all, open, true);
  REQUIRE(lines.size() == 3);  // it is not on disk yet, and is listed all the same
  for (const ReviewLine& line : {lines[0], lines[1]}) {
    CHECK(line.door == ReviewDoor::kHidden);
    const std::string said = line.who + line.what;
    for (const char* name : {"M2", "T1", "2026"}) CHECK(said.find(name) == std::string::npos);
  }
  CHECK(lines[2].who == "M1");
  CHECK(OpenReviewWords(open) == "Formative review by M1, blinded until it is signed");
}

TEST_CASE("Versions of one review open each other", "[fairly]") {
  std::vector<ReviewSummary> all{Listed("r1", "M1", true), Listed("r1-v2", "M1")};
  all[1].version_of = {"r1"};
  all[1].version = 2;
  const auto lines = ReviewLines(all, Open("r1", "M1", true), false);
  CHECK(lines[1].door == ReviewDoor::kVersion);
  CHECK(lines[1].what == "formative, version 2, not signed");
  CHECK(lines[0].what == "formative, signed 2026-03-04");
}

}  // namespace afterscope
