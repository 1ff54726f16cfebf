// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_findings.hpp"
#include "annotate/jobs/clip/clip_source.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

// An ellipse so many times as high as wide.
Mark Outline(double height) {
  Mark mark;
  mark.id = {"m1"};
  mark.at = {0, {50}};
  mark.kind = MarkKind::kRhexis;
  for (int i = 0; i < 24; ++i)
    mark.points.push_back(
        {500 + 200 * std::cos(i * 0.2617993878), 500 + 200 * height * std::sin(i * 0.2617993878)});
  return mark;
}

void Draw(const std::string& folder, double height) {
  const auto session = CaseSession::Open(folder, {});
  REQUIRE(session.ok());
  REQUIRE((*session)->Commit({"Outline", {Put<Mark>{Outline(height)}}}).ok());
}

}  // namespace

TEST_CASE("What is said beside an outline is kept while its marks stay, and made again when they change",
          "[clip]") {
  const TemporaryFolder place;
  const std::string folder = place / "case";
  CaseRecord record;
  RecordingRef times;
  times.shape.time_base = {1, 25};
  times.shape.end = {1000};
  times.shape.width = times.shape.height = 1000;
  record.recordings = {times};
  REQUIRE(CaseSession::Create(folder, record).ok());
  Draw(folder, 1);
  ClipPlan plan;
  ClipPart part;
  part.start = {0, {0}};
  part.end = {0, {100}};
  part.findings = true;
  plan.parts = {part};
  const auto first = ClipSource::Open(folder, plan, RealFileSystem());
  REQUIRE(first.ok());
  const std::map<MarkId, std::string> said = first->CaseOf(0).findings;
  REQUIRE(said.count({"m1"}) == 1);
  CHECK(said.at({"m1"}).find("circularity") != std::string::npos);
  plan.parts[0].speed = 0.5;  // of the plan, not of the marks
  const auto again = ClipSource::Open(folder, plan, RealFileSystem(), &*first);
  REQUIRE(again.ok());
  CHECK(again->CaseOf(0).findings == said);
  Draw(folder, 1.5);
  const auto changed = ClipSource::Open(folder, plan, RealFileSystem(), &*again);
  REQUIRE(changed.ok());
  CHECK(changed->CaseOf(0).findings != said);
  CHECK(changed->CaseOf(0).findings == RhexisLines(changed->CaseOf(0).record, changed->CaseOf(0).review));
  plan.parts[0].findings = false;
  CHECK(ClipSource::Open(folder, plan, RealFileSystem(), &*changed)->CaseOf(0).findings.empty());
}

}  // namespace afterscope
