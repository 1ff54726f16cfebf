// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/moment_edits.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

namespace afterscope {

TEST_CASE("A check has one state and one pin, where it was seen last", "[checks]") {
  CaseRecord record;
  record.recordings.resize(1);
  record.recordings[0].shape = {{1, 100}, Pts{0}, Pts{1000}, 100, 100, {1, 1}, 0, true};
  Review review;
  int next = 0;
  const auto set = [&](CheckState state, std::int64_t ticks) {
    const auto group = SetCheckSeen(review, {"whole", "Rhexis complete", "rhexis"}, state, {0, Pts{ticks}},
                                    [&] { return MomentId{fmt::format("m{}", next++)}; });
    REQUIRE(group);
    REQUIRE(ApplyEdits(*group, record, review));
  };
  set(CheckState::kSeenDone, 100);
  REQUIRE(review.moments.size() == 1);
  CHECK(review.moments[0].fields.at("state") == "seen done");
  set(CheckState::kSeenNotDone, 200);
  REQUIRE(review.moments.size() == 1);
  CHECK(PinOfCheck(review, "whole")->at == FrameRef{0, Pts{200}});
  CHECK(review.checks.at("whole") == CheckState::kSeenNotDone);
  set(CheckState::kNotVisible, 300);
  CHECK(review.moments.empty());
  CHECK(review.checks.at("whole") == CheckState::kNotVisible);
  set(CheckState::kNotReviewed, 300);
  CHECK(PinOfCheck(review, "whole") == nullptr);
}

}  // namespace afterscope
