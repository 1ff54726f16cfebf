// SPDX-License-Identifier: Apache-2.0
// The eye followed through a case of two recordings, in the real window without a display.
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/store/followed_files.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/support/phantom_cases.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

constexpr std::size_t kFirstFrames = 40, kAllFrames = 60;

void MakeTwoRecordings(const std::string& folder, const std::string& case_folder) {
  const phantom::Phantom phantom(SmallScene(640, 24));
  std::vector<double> seconds;
  for (std::size_t i = 0; i < kAllFrames; ++i) seconds.push_back(2 + static_cast<double>(i) / 25);
  const std::vector<std::size_t> starts{0, kFirstFrames};
  const std::vector<std::string> paths{folder + "/a.mp4", folder + "/b.mp4"};
  REQUIRE(RecordPhantom(phantom, {}, seconds, starts, paths, {}, {}).ok());
  const auto frames = ReadBackPhantom(seconds, starts, paths, {});
  REQUIRE(frames.ok());
  CaseRecord record;
  record.code = "X-2";
  REQUIRE(AddRecordings(*frames, case_folder, record).ok());
  REQUIRE(CaseSession::Create(case_folder, record).ok());
  OpenCaseOptions open;
  open.reviewer_code = "m1";
  const auto session = CaseSession::Open(case_folder, open);
  REQUIRE(session.ok());
  Mark limbus{MarkId{"m1"}, frames->refs[0], MarkKind::kLimbus, {}, {}, {}};
  const auto outline = phantom::OutlinePx(phantom.scene(), phantom.Truth(seconds[0]).eye,
                                          phantom.scene().eye.Limbus().Polygon(), 1);
  for (std::size_t i = 0; i < outline.size(); i += outline.size() / 24) limbus.points.push_back(outline[i]);
  REQUIRE((*session)->Commit({"Outline the limbus", {Put<Mark>{limbus}}}).ok());
}

}  // namespace

TEST_CASE("One key follows the eye through all recordings of a case", "[window][follow]") {
  const TemporaryFolder folder;
  const std::string case_folder = folder / "X-2";
  MakeTwoRecordings(folder.path(), case_folder);
  const auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  stage->Open({case_folder});
  REQUIRE(stage->DrawUntil([&] {
    return !stage->app().view().review.marks.empty() && stage->app().player().exact() &&
           !stage->app().player().shown().empty();
  }));
  const auto followed = [&] { return LoadFollowed(case_folder, stage->app().view().review.id); };
  CHECK(followed().eyes.empty());
  stage->Press("Ctrl+Alt+F");
  stage->Press("Space");  // meanwhile the case is looked at as usual
  REQUIRE(stage->DrawUntil([&] {
    const Followed now = followed();
    return EyeOf(now, 0) != nullptr && EyeOf(now, 0)->complete && EyeOf(now, 1) != nullptr &&
           EyeOf(now, 1)->complete;
  }));
  CHECK(EyeOf(followed(), 0)->frames.size() == kFirstFrames);
  CHECK(EyeOf(followed(), 1)->frames.size() == kAllFrames - kFirstFrames);
}

}  // namespace afterscope
