// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/verify/verify_report.hpp"

#include "annotate/jobs/phantom/truth_table.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <array>

namespace afterscope {
namespace {

const std::array kHow{
    "The phantoms are drawn and moved by rules of their own; the program sees the encoded files and the "
    "marks",
    "of a simulated reviewer, each point 1.5 px off and each outline 1 px too far out or in (standard",
    "deviations), and nothing else of the truth. It is told each eye's corneal diameter and power and "
    "chamber",
    "depth. A path is compared over the stretches in which the tip was believed, in the stated band.",
    "Limits pass where no more of them miss the truth than chance explains (95 % limits; in all but one of "
    "500",
    "cases), and none misses it by more than two and a half times its width; what has no limits must be "
    "equal."};

// What the figures rest on that this run can't test.
const std::array kRestsOn{
    "Length behind the cornea as seen: paraxial refraction at one surface, n = 1.336; the textbook eye of "
    "43.05 D has 1.131 at 3.6 mm. The phantoms are drawn by the same formula. Measured at operation: 1.159 "
    "+- 0.031 in 40 eyes of 3.28 mm and 43.53 D (open-ring-guided capsulorhexis, abstract), for which the "
    "formula gives 1.120: taken into the limits.",
    "Horizontal corneal diameter: 11.71 +- 0.42 mm, 743 eyes (Ruefer, Schroeder and Erb, Cornea "
    "2005;24:259-61); the phantoms have 11.2 to 12.2 mm.",
    "Axes and clock hours: ISO 8429:1986, graduated dial scale.",
    "Circularity: isoperimetric quotient 4 pi A / P^2 (Cox 1927, from memory).",
    "Hand movements of the phantoms: minimum jerk (Flash and Hogan, J Neurosci 1985;5:1688, from memory).",
    "Band of a path: second-order Butterworth run both ways (Winter, Biomechanics and Motor Control of Human "
    "Movement, from memory)."};

const char* Word(bool passed) { return passed ? "pass" : "FAIL"; }

std::string PhantomLines(const VerifyRun& run) {
  std::string out;
  for (const VerifiedPhantom& p : run.phantoms)
    out += fmt::format("{:<10} {:<6} {}; {} frames in two files; tip set by hand on {} of {}\n", p.name,
                       p.difficulty, p.recorded, p.frames, p.tips_by_hand, p.tips_followed);
  return out;
}

std::string PictureLines(const VerifyRun& run) {
  std::string out =
      fmt::format("{:<10} {:<52} {:>9} {:>12}\n", "phantom", "found in the pictures", "found", "");
  for (const VerifiedPhantom& p : run.phantoms)
    for (const PictureCheck& c : p.pictures)
      out += fmt::format("{:<10} {:<52} {:>9.3f} {:>5} {:>6} {:<3} {}\n", p.name, c.what, c.value,
                         c.at_least ? "least" : "most", c.limit, c.unit, Word(c.passed()));
  return out;
}

std::string VerdictLines(const VerifyRun& run) {
  std::string out = fmt::format("{:<44} {:>7} {:>16} {:>12} {:>14}\n", "finding", "values",
                                "limits that hold", "largest off", "in half widths");
  for (const FindingVerdict& v : run.verdicts)
    out += fmt::format("{:<44} {:>7} {:>16} {:>12.4g} {:>14.2f} {:<5} {}{}\n", v.name, v.values,
                       fmt::format("{} of {}", v.held, v.values), v.largest_off, v.worst, v.unit,
                       Word(v.passed()), v.passed() ? "" : ": " + v.why);
  return out;
}

Json FindingJson(const Comparison& c) {
  const TrueValue& t = c.truth;
  Json out = {{"name", t.name},      {"true", t.value}, {"value", nullptr}, {"low", nullptr},
              {"high", nullptr},     {"unit", t.unit},  {"plane", nullptr}, {"step", nullptr},
              {"operator", nullptr}, {"mark", nullptr}, {"holds", c.holds}, {"why", c.why}};
  if (c.measured) {
    out["value"] = c.measured->value;
    out["low"] = c.measured->low;
    out["high"] = c.measured->high;
  }
  if (t.plane) out["plane"] = *t.plane;
  if (t.step) out["step"] = *t.step;
  if (t.operator_code) out["operator"] = *t.operator_code;
  if (t.mark) out["mark"] = t.mark->value;
  return out;
}

Json PhantomJson(const VerifiedPhantom& p) {
  Json findings = Json::array(), pictures = Json::array();
  for (const Comparison& c : p.findings) findings.push_back(FindingJson(c));
  for (const PictureCheck& c : p.pictures)
    pictures.push_back({{"what", c.what},
                        {"value", c.value},
                        {c.at_least ? "least" : "most", c.limit},
                        {"unit", c.unit},
                        {"frames", c.frames},
                        {"passed", c.passed()}});
  return {{"name", p.name},
          {"difficulty", p.difficulty},
          {"recorded", p.recorded},
          {"frames", p.frames},
          {"tips_by_hand", p.tips_by_hand},
          {"tips_followed", p.tips_followed},
          {"findings", std::move(findings)},
          {"pictures", std::move(pictures)}};
}

}  // namespace

std::string VerifyText(const VerifyRun& run) {
  std::vector<CheckedCase> compared;
  for (const VerifiedPhantom& p : run.phantoms) compared.push_back({p.name, p.findings});
  std::string out = fmt::format("Afterscope {}: {} phantoms of seed {}\n\n{}\n{}\n{}\n{}\n", run.program,
                                run.phantoms.size(), run.seed, PhantomLines(run), MainFindingsTable(compared),
                                PictureLines(run), VerdictLines(run));
  for (const char* line : kHow) out += fmt::format("{}\n", line);
  out += "\nIt rests on:\n";
  for (const char* line : kRestsOn) out += fmt::format("- {}\n", line);
  const bool passed = AllPassed(run.phantoms, run.verdicts);
  out += passed ? "\nEverything passed.\n" : "\nNOT everything passed: see FAIL above.\n";
  return out;
}

Json VerifyJson(const VerifyRun& run) {
  Json phantoms = Json::array(), verdicts = Json::array();
  for (const VerifiedPhantom& p : run.phantoms) phantoms.push_back(PhantomJson(p));
  for (const FindingVerdict& v : run.verdicts)
    verdicts.push_back({{"name", v.name},
                        {"unit", v.unit},
                        {"values", v.values},
                        {"held", v.held},
                        {"most_misses", v.most_misses},
                        {"largest_off", v.largest_off},
                        {"worst_half_widths", v.worst},
                        {"passed", v.passed()},
                        {"why", v.why}});
  Json how = Json::array(), rests_on = Json::array();
  for (const char* line : kHow) how.push_back(line);
  for (const char* line : kRestsOn) rests_on.push_back(line);
  return {{"format", "afterscope verify"},
          {"version", "1.0"},
          {"program", run.program},
          {"seed", run.seed},
          {"passed", AllPassed(run.phantoms, run.verdicts)},
          {"verdicts", std::move(verdicts)},
          {"phantoms", std::move(phantoms)},
          {"how", std::move(how)},
          {"rests_on", std::move(rests_on)}};
}

}  // namespace afterscope
