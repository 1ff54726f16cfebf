// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/drafts/caption_line.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

Caption Said(const char* id, std::int64_t start, std::optional<std::int64_t> end, const char* text) {
  Caption caption{CaptionId{id}, {0, Pts{start}}, {}, text};
  if (end) caption.end = FrameRef{0, Pts{*end}};
  return caption;
}

}  // namespace

TEST_CASE("What was said lies along the timeline", "[drafts]") {
  RecordingRef recording;  // 100 s in milliseconds
  recording.shape.end = Pts{100'000};
  const CaseClock clock({recording});
  Review review;
  CHECK_FALSE(HasCaptions(review));
  review.captions = {Said("c1", 10'000, 20'000, "first"), Said("c2", 30'000, {}, "second"),
                     Said("c3", 32'000, {}, "third"), Said("c4", 90'000, 99'000, "far away")};
  Draft draft;
  draft.id = DraftId{"d1"};
  draft.start = {0, Pts{15'000}};
  review.drafts = {draft};
  draft.id = DraftId{"d2"};
  draft.state = DraftState::kRefused;
  review.drafts.push_back(draft);
  CHECK(HasCaptions(review));

  const CaptionLine line = LayOutCaptions({0, 50, 0, 500}, clock, review);  // ten pixels a second
  REQUIRE(line.captions.size() == 3);
  CHECK(line.captions[0].left == Approx(100));
  CHECK(line.captions[0].right == Approx(200));
  CHECK(line.captions[1].right == Approx(320));  // until the next
  CHECK(line.captions[2].right == Approx(370));  // five seconds
  REQUIRE(line.drafts.size() == 1);
  CHECK(line.drafts[0].x == Approx(150));
  CHECK(CaptionAtX(line, 150) == "first");
  CHECK(CaptionAtX(line, 250).empty());
}

}  // namespace afterscope
