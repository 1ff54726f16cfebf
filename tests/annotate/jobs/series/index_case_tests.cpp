// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/index_case.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

namespace afterscope {
namespace {

IndexFinding LengthIn(const std::string& folder) {
  const IndexCase entry = ReadIndexCase(folder);
  REQUIRE(entry.reviews.size() == 1);
  const auto& found = entry.reviews[0].findings;
  const auto length = std::find_if(found.begin(), found.end(),
                                   [](const IndexFinding& f) { return f.name == "path.length.as_seen"; });
  REQUIRE(length != found.end());
  REQUIRE(length->value);
  return *length;
}

}  // namespace

TEST_CASE(
    "A path in a series is its operator's alone, and is measured anew when the instruments change hands",
    "[series][index]") {
  const TemporaryFolder folder;
  CaseRecord record = TwoRecordings();
  record.operator_code = "T1";
  record.supervisor_code = "S1";
  REQUIRE(CaseSession::Create(folder / "case", record).ok());
  auto session = CaseSession::Open(folder / "case", {});
  REQUIRE(session.ok());
  const auto commit = [&](const Edit& edit) { REQUIRE((*session)->Commit({"Tag", {edit}}).ok()); };
  // Ten seconds, 40 pixels a second; of the last four the supervisor may have two.
  Trail trail{TrailId{"t1"}, "forceps", "main", {}, {}};
  for (std::int64_t i = 0; i < 250; ++i)
    trail.points.push_back({At(40 * i), {100 + 1.6 * static_cast<double>(i), 200}, TrailSource::kHand});
  commit(Put<Trail>{trail});
  const auto visit = [](const char* id, std::int64_t from, std::int64_t to, bool taken_over) {
    return Put<StepVisit>{{VisitId{id}, "rhexis", 0, At(from), At(to), "", taken_over}};
  };
  commit(visit("v1", 0, 6000, false));
  commit(visit("v2", 6000, 8000, false));
  commit(visit("v3", 8000, 10000, false));
  CHECK(*LengthIn(folder / "case").value == Approx(400).epsilon(0.03));
  CHECK(LengthIn(folder / "case").operator_code == "T1");
  commit(visit("v2", 6000, 8000, true));
  CHECK(*LengthIn(folder / "case").value == Approx(320).epsilon(0.03));
  CHECK(LengthIn(folder / "case").operator_code == "T1");
}

}  // namespace afterscope
