// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"
#include "annotate/case/moved_review.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>

#include <vector>

namespace afterscope {
namespace {

Mark Cover(FrameRef at) { return {{"m1"}, at, MarkKind::kCover, {{10, 20}, {50, 60}}, "", {}}; }

}  // namespace

TEST_CASE("A cover without an end holds for its whole recording, one with an end from its frame to there",
          "[cover]") {
  Mark cover = Cover(At(5000, 1));
  CHECK(CoverHolds(cover, At(0, 1)));
  CHECK(CoverHolds(cover, At(29'999, 1)));
  CHECK_FALSE(CoverHolds(cover, At(5000, 0)));

  SetRange(cover, HalfOpen<FrameRef>{At(50'000, 0), At(1000, 1)});  // over the end of the first recording
  CHECK(cover.at == At(50'000, 0));
  CHECK(RangeOfCover(cover)->end == At(1000, 1));
  CHECK_FALSE(CoverHolds(cover, At(49'999, 0)));
  CHECK(CoverHolds(cover, At(50'000, 0)));
  CHECK(CoverHolds(cover, At(59'999, 0)));
  CHECK(CoverHolds(cover, At(999, 1)));
  CHECK_FALSE(CoverHolds(cover, At(1000, 1)));
  SetRange(cover, std::nullopt);
  CHECK(cover.fields.empty());
}

TEST_CASE("An end that can't be read hides too much rather than too little, and is not taken", "[cover]") {
  CaseRecord record = TwoRecordings();
  for (const char* until : {"", "7", "0:", ":9", "0:x", "0:4000 ", "0:4000", "-1:9000"}) {
    Mark cover = Cover(At(5000));
    cover.fields["until"] = until;
    CHECK(CoverHolds(cover, At(0)));
    CHECK_FALSE(CheckCover(cover).ok());
    Review review;
    CHECK_FALSE(ApplyEdits({"", {Put<Mark>{cover}}}, record, review).ok());
  }
  Mark cover = Cover(At(5000));
  cover.fields["until"] = "0:90000";  // the recording has 60 s
  Review review;
  CHECK_FALSE(ApplyEdits({"", {Put<Mark>{cover}}}, record, review).ok());
  cover.fields["until"] = "1:30000";
  CHECK(ApplyEdits({"", {Put<Mark>{cover}}}, record, review).ok());
}

TEST_CASE("What is hidden of each recording, and when", "[cover]") {
  Review review;
  Mark whole = Cover(At(0));
  Mark across = Cover(At(0));
  SetRange(across, HalfOpen<FrameRef>{At(50'000, 0), At(1000, 1)});
  SetShape(across, CoverShape::kOutside);
  review.marks = {whole, across};
  const auto first = CoversOf(review, 0);
  REQUIRE(first.size() == 2);
  CHECK_FALSE(first[0].range);
  CHECK(first[1].shape == CoverShape::kOutside);
  CHECK(first[1].range->Contains(At(55'000)));
  REQUIRE(CoversOf(review, 1).size() == 1);
  CHECK(CoversOf(review, 2).empty());
}

TEST_CASE("A picture is covered only while the cover holds", "[cover]") {
  constexpr int kSide = 32;
  const std::vector<std::uint8_t> grey(kSide * kSide, 128);
  Picture picture;
  picture.format = PixelFormat::kGray8;
  picture.width = picture.height = kSide;
  picture.planes[0] = {grey.data(), kSide, kSide, kSide};
  const std::vector<CoverArea> areas{
      {CoverShape::kBox, {4, 4}, {12, 12}, HalfOpen<FrameRef>{At(100), At(200)}}};
  for (const auto& [ticks, hidden] :
       std::vector<std::pair<int, bool>>{{99, false}, {100, true}, {199, true}, {200, false}}) {
    picture.frame = At(ticks);
    const Picture seen = Covered(picture, areas);
    const auto& plane = seen.planes[0];
    CHECK((plane.data[8 * plane.stride + 8] != 128) == hidden);
    CHECK(plane.data[20 * plane.stride + 20] == 128);
  }
}

TEST_CASE("A cover's end goes along where a review is moved to other recordings", "[cover]") {
  Review review;
  review.marks = {Cover(At(0))};
  SetRange(review.marks[0], HalfOpen<FrameRef>{At(1000), At(2000)});
  const Review moved = MovedReview(
      review,
      [](FrameRef at) {
        return FrameRef{at.recording, Pts{at.pts.ticks * 2}};
      },
      [](int, PointPx px) { return px; });
  CHECK(moved.marks[0].at == At(2000));
  CHECK(RangeOfCover(moved.marks[0])->end == At(4000));
}

}  // namespace afterscope
