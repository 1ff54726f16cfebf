// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/blinding.hpp"
#include "annotate/case/signing.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/review_json.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <numeric>
#include <random>

namespace afterscope {
namespace {

// Everything that tells who and when bears a word that is found again.
CaseRecord Telling() {
  CaseRecord record = TwoRecordings();
  record.code = "secret-code";
  record.date = "2026-03-04";
  record.operator_code = "secret-operator";
  record.operator_role = "secret-role";
  record.supervisor_code = "secret-supervisor";
  record.supervision_level = "secret-level";
  record.extra["Surgeon"] = "secret-extra";
  record.recordings[0].path = "../secret-file.mp4";
  record.signed_reviews = {{{"r0"}, "seal", {}, {{"secret-operator", "", "secret-answer"}}}};
  return record;
}

Review Blind() {
  Review review;
  review.id = {"r1"};
  review.blinding = Blinding::kBlinded;
  for (const char* code : {"", "secret-operator", "secret-supervisor", "secret-third"}) {
    const auto number = static_cast<std::int64_t>(review.visits.size());
    review.visits.push_back({{"v" + std::to_string(number)},
                             "rhexis",
                             0,
                             At(number * 100),
                             At(number * 100 + 50),
                             code,
                             std::string(code) == "secret-supervisor"});
  }
  return review;
}

}  // namespace

TEST_CASE("A blind reviewer is shown nothing that tells whose case it is, until he has signed", "[case]") {
  const CaseRecord record = Telling();
  Review review = Blind();
  CHECK(IsBlind(review));
  const std::string text =
      JsonFrom(ShownRecord(record, review)).dump() + JsonFrom(ShownReview(record, review)).dump();
  CHECK(text.find("secret") == std::string::npos);
  CHECK(text.find("2026") == std::string::npos);
  CHECK(ShownCaseName(record, review, 3) == "Case 3");
  // Who did what can still be told apart, and what is measured is the same.
  const CaseRecord shown = ShownRecord(record, review);
  CHECK(shown.operator_code != shown.supervisor_code);
  CHECK(shown.recordings[1].shape == record.recordings[1].shape);
  const Review seen = ShownReview(record, review);
  CHECK(seen.visits[0].operator_code == seen.visits[1].operator_code);
  CHECK(seen.visits[2].operator_code == shown.supervisor_code);
  CHECK(seen.visits[3].operator_code != shown.supervisor_code);
  review.is_signed = true;
  CHECK(ShownRecord(record, review) == record);
  CHECK(ShownReview(record, review) == review);
  CHECK(ShownCaseName(record, review, 3) == "secret-code");
}

TEST_CASE("What a blind reviewer says of the operator is kept by the true code", "[case]") {
  const CaseRecord record = Telling();
  Review review = Blind();
  CHECK(ActualCode(record, review, ShownRecord(record, review).operator_code).empty());
  CHECK(ActualCode(record, review, ShownRecord(record, review).supervisor_code) == "secret-supervisor");
  CHECK(ActualCode(record, review, "N3") == "N3");
  review.is_signed = true;
  CHECK(ActualCode(record, review, "operator") == "operator");
}

TEST_CASE("Blinding starts before anything is tagged and never comes back", "[case]") {
  Review review;
  CHECK(CheckBlindingChange(review, Blinding::kBlinded).ok());
  CHECK_FALSE(CheckBlindingChange(review, Blinding::kLifted).ok());
  review = Blind();
  CHECK(CheckBlindingChange(review, Blinding::kLifted).ok());
  CHECK_FALSE(CheckBlindingChange(review, Blinding::kOpen).ok());
  review.blinding = Blinding::kLifted;
  CHECK_FALSE(CheckBlindingChange(review, Blinding::kBlinded).ok());
  CHECK_FALSE(CheckBlindingChange(review, Blinding::kOpen).ok());
  review.blinding = Blinding::kOpen;
  CHECK_FALSE(CheckBlindingChange(review, Blinding::kBlinded).ok());  // something is tagged
}

TEST_CASE("Whether the operator was recognised is asked once, after signing", "[case]") {
  CaseRecord record = Telling();
  Review review = Blind();
  CHECK_FALSE(AsksWhetherRecognised(record, review));
  CHECK_FALSE(NoteRecognition(record, review.id, Recognition::kNo).ok());
  review.is_signed = true;
  record.signed_reviews = {{review.id, "seal", {}, {}}};
  CHECK(AsksWhetherRecognised(record, review));
  const auto note = NoteRecognition(record, review.id, Recognition::kPerhaps);
  REQUIRE(note.ok());
  CHECK_FALSE(TouchesSeals(*note, record));
  const CaseRecord before = record;
  const auto inverse = ApplyEdits(*note, record, review);
  REQUIRE(inverse.ok());
  CHECK_FALSE(AsksWhetherRecognised(record, review));
  CHECK(FindSigned(record, review.id)->recognised == Recognition::kPerhaps);
  REQUIRE(ApplyEdits(*inverse, record, review).ok());
  CHECK(record == before);
  review.blinding = Blinding::kOpen;
  CHECK_FALSE(AsksWhetherRecognised(record, review));
}

// The generator is the C++ standard's: [rand.predef] gives the 10000th value of a default mt19937_64 as
// 9981545732273789042.
TEST_CASE("The order of blind cases is a permutation fixed by its seed", "[case]") {
  std::mt19937_64 standard;
  standard.discard(9999);
  CHECK(standard() == 9981545732273789042ULL);
  for (const std::size_t count : {0u, 1u, 2u, 10u, 257u}) {
    std::vector<std::size_t> order = ShuffledOrder(count, 7);
    CHECK(order == ShuffledOrder(count, 7));
    std::sort(order.begin(), order.end());
    std::vector<std::size_t> all(count);
    std::iota(all.begin(), all.end(), std::size_t{0});
    CHECK(order == all);
  }
  CHECK(ShuffledOrder(20, 1) != ShuffledOrder(20, 2));
  // Each of three cases comes first about equally often: chi-square with 2 degrees of freedom under its 0.1 %
  // point, 13.82 (table of the distribution, from memory).
  int first[3] = {};
  for (std::uint64_t seed = 0; seed < 3000; ++seed) ++first[ShuffledOrder(3, seed)[0]];
  double chi_square = 0;
  for (const int count : first) chi_square += (count - 1000.0) * (count - 1000.0) / 1000.0;
  CHECK(chi_square < 13.82);
}

}  // namespace afterscope
