// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"
#include "annotate/jobs/verify/verify_report.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/followed_files.hpp"
#include "tests/support/temporary_folder.hpp"

#include <boost/math/distributions/binomial.hpp>
#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <set>

namespace afterscope {
namespace {

Comparison Compared(const std::string& name, double truth, std::optional<Estimate> measured) {
  Comparison out;
  out.truth.name = name;
  out.truth.value = truth;
  out.truth.unit = "mm";
  out.measured = measured;
  out.why = measured ? "" : "nothing was marked";
  out.holds = measured && measured->low <= truth && truth <= measured->high;
  return out;
}

// `n` phantoms of one finding that is 1 +- 0.1, of which the first `missed` are off by `off`.
std::vector<VerifiedPhantom> Phantoms(int n, int missed, double off) {
  std::vector<VerifiedPhantom> out;
  for (int i = 0; i < n; ++i) {
    VerifiedPhantom one;
    one.name = fmt::format("phantom-{}", i + 1);
    const double value = i < missed ? 1 + off : 1;
    one.findings.push_back(Compared("rhexis.area", 1, Estimate{value, value - 0.1, value + 0.1}));
    one.pictures.push_back({"limbus", 0.4, 1, false, "%", 10});
    out.push_back(one);
  }
  return out;
}

bool Passes(const std::vector<VerifiedPhantom>& phantoms) {
  return AllPassed(phantoms, JudgeFindings(phantoms));
}

}  // namespace

TEST_CASE("Misses that chance explains are those of the binomial distribution", "[verify]") {
  for (const int n : {1, 2, 5, 20, 65, 300}) {
    const boost::math::binomial_distribution<double> misses(n, 0.05);
    const int most = MostMisses(n);
    INFO(n << " limits, " << most << " misses");
    CHECK(cdf(complement(misses, most)) < 0.002);
    if (most > 0) CHECK(cdf(complement(misses, most - 1)) >= 0.002);
  }
}

TEST_CASE("A finding fails where it is not computed, misses by far or too often", "[verify]") {
  CHECK(Passes(Phantoms(20, MostMisses(20), 0.15)));
  CHECK_FALSE(Passes(Phantoms(20, MostMisses(20) + 1, 0.15)));
  CHECK_FALSE(Passes(Phantoms(20, 1, 0.3)));
  CHECK_FALSE(Passes({}));
  std::vector<VerifiedPhantom> one = Phantoms(3, 0, 0);
  one[1].findings[0] = Compared("rhexis.area", 1, std::nullopt);
  CHECK_FALSE(Passes(one));
  CHECK(JudgeFindings(one).at(0).why == "phantom-2: not computed: nothing was marked");
  one = Phantoms(3, 0, 0);
  one[2].findings.push_back(Compared("time.take_overs", 1, Estimate{2, 2, 2}));
  CHECK_FALSE(Passes(one));
  one = Phantoms(3, 0, 0);
  one[0].findings.push_back(Compared("path.length", 100, Estimate{106, 80, 130}));
  CHECK_FALSE(Passes(one));
  one = Phantoms(3, 0, 0);
  one[0].pictures[0].value = 1.5;
  CHECK_FALSE(Passes(one));
}

TEST_CASE("The same seed gives the same phantoms of every difficulty, another one others", "[verify]") {
  const auto plans = PlanVerify(7, 6), again = PlanVerify(7, 6), other = PlanVerify(8, 6);
  std::set<std::string> difficulties;
  std::set<std::uint64_t> seeds;
  for (std::size_t i = 0; i < plans.size(); ++i) {
    CHECK(plans[i].scene.seed == again[i].scene.seed);
    CHECK(plans[i].recorded == again[i].recorded);
    difficulties.insert(plans[i].difficulty);
    seeds.insert(plans[i].scene.seed);
    seeds.insert(other[i].scene.seed);
  }
  CHECK(difficulties == std::set<std::string>{"easy", "usual", "hard"});
  CHECK(seeds.size() == 12);
  CHECK(plans[1].format.codec == WrittenVideo::kMpeg2);
}

// Small, so that it is quick; what it measures is judged by the verb, not here.
TEST_CASE("A phantom's case alone gives the values that are compared with the truth", "[verify]") {
  VerifyPhantom plan = PlanVerify(7, 1).front();
  plan.scene.width = 320;
  plan.scene.height = 240;
  plan.scene.px_per_mm = 12;
  plan.format.frame_rate = {15, 1};
  const TemporaryFolder folder;
  const auto verified = RunPhantom(plan, folder.path(), {}, {}, {});
  REQUIRE(verified.ok());
  CHECK(verified->tips_by_hand >= 3);
  CHECK(verified->pictures.size() >=
        15);  // six of the eye in each file, three of the tip, blur where there was

  OpenCaseOptions open;
  open.read_only = true;
  const auto session = CaseSession::Open(folder / plan.name, open);
  REQUIRE(session.ok());
  const Review& review = (*session)->review();
  const auto findings = MeasureReview((*session)->record(), review, VerifySteps({}), MeasureOptions{},
                                      LoadFollowed(folder / plan.name, review.id));
  std::vector<TrueValue> truth;
  for (const Comparison& c : verified->findings) truth.push_back(c.truth);
  const auto again = CompareWithTruth(truth, findings);
  int measured = 0;
  for (std::size_t i = 0; i < again.size(); ++i) {
    INFO(NameOf(again[i]));
    CHECK(again[i].measured == verified->findings[i].measured);
    measured += again[i].measured.has_value();
  }
  CHECK(measured > 50);

  VerifyRun run{7, "test", {*verified}, JudgeFindings({*verified})};
  const std::string text = VerifyText(run);
  for (const char* cited : {"ISO 8429", "Cornea 2005", "rhexis.circularity", "limbus diameter, median error"})
    CHECK(text.find(cited) != std::string::npos);
  const Json json = VerifyJson(run);
  CHECK(json.at("passed") == AllPassed(run.phantoms, run.verdicts));
  CHECK(json.at("phantoms").at(0).at("findings").size() == verified->findings.size());
}

}  // namespace afterscope
