// SPDX-License-Identifier: Apache-2.0
// Not checked, but looked at: every sheet of a case of two hours with sixty visits and long names, and of a
// short one with pictures (see look_support.hpp).
#include "annotate/case/cover.hpp"
#include "tests/app/desktop/stage/invented_case_support.hpp"
#include "tests/app/desktop/stage/look_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <array>
#include <cstdlib>

namespace afterscope {
namespace {

constexpr std::int64_t kTwoHours = 7'200'000;  // ms

CaseRecord LongCase() {
  CaseRecord record;
  record.code = "EYE-UNIT-NORTH-2026-000417-SECOND-EYE";
  record.date = "2026-03-04";
  record.eye = Eye::kRight;
  record.step_list = "phacoemulsification";
  record.operator_code = "TRAINEE-WITH-A-LONG-CODE-07";
  record.supervisor_code = "SUPERVISOR-WITH-A-LONG-CODE-02";
  record.seat_clock_hour = 12;
  record.recordings.resize(1);
  record.recordings[0].path =
      "a recording with a very long name that nobody shortened 2026-03-04 08-00-00.mp4";
  record.recordings[0].shape.end = Pts{kTwoHours};
  record.recordings[0].shape.width = 1920;
  record.recordings[0].shape.height = 1080;
  return record;
}

EditGroup SixtyVisits(CaseSession& session) {
  constexpr std::array kSteps{
      "side_port", "viscoelastic",    "main_incision",
      "rhexis",    "hydrodissection", "a step in the words of the reviewer that is longer than any band"};
  EditGroup group{"Sixty visits", {}};
  for (int i = 0; i < 60; ++i) {
    StepVisit visit;
    visit.id = session.NewVisitId();
    visit.step = kSteps[static_cast<std::size_t>(i) % kSteps.size()];
    visit.start = {0, Pts{kTwoHours / 60 * i}};
    visit.end = {0, Pts{kTwoHours / 60 * i + kTwoHours / 80}};
    visit.taken_over = i % 9 == 0;
    group.edits.emplace_back(Put<StepVisit>{visit});
  }
  for (int i = 0; i < 30; ++i) {
    Moment moment;
    moment.id = session.NewMomentId();
    moment.at = {0, Pts{kTwoHours / 30 * i + 500}};
    moment.kind = i % 3 == 0 ? MomentKind::kTeachingPoint : MomentKind::kRemark;
    moment.text = "Let go and take the flap again nearer to the edge before the pull turns outwards, slowly.";
    group.edits.emplace_back(Put<Moment>{moment});
  }
  for (int i = 0; i < 2; ++i) {
    Mark cover{session.NewMarkId(), {0, Pts{0}}, MarkKind::kCover, {{20, 20}, {600, 90}}, "", {}};
    if (i == 1) SetRange(cover, HalfOpen<FrameRef>{{0, Pts{kTwoHours / 3}}, {0, Pts{kTwoHours / 2}}});
    group.edits.emplace_back(Put<Mark>{cover});
  }
  return group;
}

void MakeLongCase(const std::string& folder) {
  REQUIRE(CaseSession::Create(folder, LongCase()).ok());
  OpenCaseOptions own;
  own.review = ReviewId{"own"};
  own.reviewer_code = "TRAINEE-WITH-A-LONG-CODE-07";
  own.new_review.is_self = true;
  OpenCaseOptions mentor;
  mentor.reviewer_code = "MENTOR-WITH-A-LONG-CODE-11";
  for (const OpenCaseOptions& options : {own, mentor}) {
    auto session = CaseSession::Open(folder, options);
    REQUIRE(session.ok());
    REQUIRE((*session)->Commit(SixtyVisits(**session)).ok());
    if (options.new_review.is_self)
      REQUIRE((*session)->Commit({"Remove", {Remove<VisitId>{(*session)->review().visits[3].id}}}).ok());
    REQUIRE((*session)->Sign(options.reviewer_code).ok());
  }
}

void LookAtSheets(const std::string& what, const std::string& folder, const LookSize& size) {
  const std::string kind = LookName(what, size);
  if (!IsLookWanted(kind)) return;
  const auto stage = StageFor(size);
  REQUIRE(stage);
  stage->Open({folder});
  REQUIRE(stage->DrawUntil([&] { return !stage->app().view().folder.empty(); }));
  stage->DrawUntil([&] { return !stage->app().Working(); });
  constexpr std::array<std::pair<const char*, const char*>, 15> kLooks{{{"F1", "cases"},
                                                                        {"Ctrl+F", "fields"},
                                                                        {"F2", "steps"},
                                                                        {"Ctrl+Shift+L", "step_list"},
                                                                        {"F3", "marks"},
                                                                        {"F4", "findings"},
                                                                        {"Ctrl+Shift+P", "words"},
                                                                        {"Ctrl+R", "review"},
                                                                        {"Shift+F1", "scores"},
                                                                        {"Shift+F2", "clips"},
                                                                        {"Shift+F3", "series"},
                                                                        {"Shift+F4", "drafts"},
                                                                        {"F6", "folded"},
                                                                        {"F12", "keys"},
                                                                        {"Escape", "again"}}};
  for (const auto& [key, look] : kLooks) {
    stage->Press(key);
    LeaveLook(*stage, fmt::format("{}_{}", look, kind));
  }
}

}  // namespace

TEST_CASE("Every sheet, to be looked at", "[.look]") {
  REQUIRE(std::getenv("AFTERSCOPE_LOOK") != nullptr);
  const TemporaryFolder folder;
  const std::string long_case = folder / "EYE-UNIT-NORTH-2026-000417-SECOND-EYE";
  MakeLongCase(long_case);
  const auto cases = MakeInventedCases(folder / "invented");
  REQUIRE(cases.size() == 2);
  for (const auto& [what, path] : {std::pair{"long", long_case}, std::pair{"short", cases[1]}})
    for (const LookSize& size : AllLooks()) LookAtSheets(what, path, size);
}

}  // namespace afterscope
