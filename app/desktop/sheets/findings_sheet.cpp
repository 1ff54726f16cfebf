// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/finding_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/finding_card.hpp"
#include "app/desktop/sheets/report_words_panel.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

constexpr std::string_view kOverOptic = "rhexis.over_optic";

// "rhexis.area" -> "rhexis"; the rhexis over the lens is a subject of its own: it lies in another plane.
std::string SubjectOf(const std::string& name) {
  return name.starts_with(kOverOptic) ? std::string(kOverOptic) : name.substr(0, name.find('.'));
}

// What a reviewer looks for first comes first.
std::vector<std::string> SubjectsIn(const std::vector<Finding>& findings) {
  std::vector<std::string> subjects{"rhexis", std::string(kOverOptic), "pupil", "incision", "path", "time",
                                    "scale"};
  for (const Finding& finding : findings) {
    const std::string subject = SubjectOf(finding.name);
    if (std::find(subjects.begin(), subjects.end(), subject) == subjects.end()) subjects.push_back(subject);
  }
  return subjects;
}

std::string HeadingOf(const std::string& subject) {
  if (subject == kOverOptic) return "Rhexis over the lens";
  std::string words = subject;
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z')
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string LabelOf(const FindingsState& state, const Scene& scene, const Finding& finding) {
  std::string label = FindingLabelText(state.labels, finding.name);
  if (finding.step) label = scene.steps.NameOf(*finding.step) + ", " + label;
  if (finding.operator_code) label += " (" + *finding.operator_code + ")";
  return label;
}

// Figures a reader wants in this place; the rest is in the report and in `measure`.
bool IsShown(const Finding& finding) {
  const std::string& name = finding.name;
  if (finding.step && finding.operator_code) return false;
  return name.rfind("time.step_", 0) != 0 && name.rfind("rhexis.overlap_clock", 0) != 0 &&
         name.rfind("rhexis.over_optic.overlap_clock", 0) != 0;
}

std::string CardOf(const Finding& finding) {
  return finding.name + " " + finding.step.value_or("") + " " + finding.operator_code.value_or("");
}

// The first one that is not said for all of them already; empty: none.
std::string CautionOf(const Finding& finding, const std::set<std::string>& said) {
  for (const std::string& caution : finding.measured.cautions)
    if (!said.contains(caution)) return caution;
  return {};
}

// Cautions that several findings of a subject share are said once, whole, under its heading.
std::set<std::string> SharedCautions(const std::vector<const Finding*>& findings) {
  constexpr int kSeveral = 3;
  std::map<std::string, int> counts;
  for (const Finding* finding : findings)
    for (const std::string& caution : finding->measured.cautions) ++counts[caution];
  std::set<std::string> shared;
  for (const auto& [caution, count] : counts)
    if (count >= kSeveral) shared.insert(caution);
  return shared;
}

void DrawFinding(FindingsState& state, const Scene& scene, const Finding& finding, int number,
                 const std::set<std::string>& said) {
  const Look& look = scene.look;
  const std::string limits = FindingLimitsText(finding);
  const std::string caution = CautionOf(finding, said);
  const bool two_lines = !limits.empty() || !caution.empty();
  const Row row =
      BeginRow(look, fmt::format("{} {}", finding.name, number).c_str(), look.Px(two_lines ? 40 : 25), false);
  const std::string card = CardOf(finding);
  if (row.pressed) {
    state.card = state.card == card ? std::string() : card;
    if (!state.card.empty() && !finding.frames.empty()) scene.wishes.jump = finding.frames.front();
  }
  if (row.hovered) {
    scene.wishes.under = finding.measured.method;
    if (!finding.measured.cautions.empty()) scene.wishes.under = "! " + finding.measured.cautions.front();
  }
  const std::string value = FindingValueText(finding);
  const float value_width = look.script->Size(look.fonts.strong, value).x;
  const float side = look.Px(6);
  const Row upper{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
  const Row lower{false, false, {row.from.x, row.from.y + look.Px(19)}, row.to};
  RowText(look, upper, row.from.x + side, LabelOf(state, scene, finding), look.colours.text, look.fonts.body,
          row.to.x - row.from.x - value_width - 3 * side);
  RowTextRight(look, upper, row.to.x - side, value, look.colours.text, look.fonts.strong);
  if (!limits.empty())
    RowTextRight(look, lower, row.to.x - side, limits, look.colours.quiet, look.fonts.small);
  if (!caution.empty())
    RowText(look, lower, row.from.x + side, "! " + caution, look.colours.quiet, look.fonts.small,
            row.to.x - row.from.x - look.script->Size(look.fonts.small, limits).x - 4 * side);
  if (state.card == card) DrawFindingCard(scene, finding, LabelOf(state, scene, finding), value, limits);
}

// What could not be computed, said once a reason.
void DrawMissing(const FindingsState& state, const Scene& scene) {
  std::map<std::string, int> reasons;
  for (const Finding& finding : state.findings)
    if (!finding.measured.estimate && IsShown(finding))
      ++reasons[finding.measured.cautions.empty() ? "no reason given" : finding.measured.cautions.front()];
  if (reasons.empty()) return;
  Heading(scene.look, "Not computed");
  for (const auto& [reason, count] : reasons)
    SayQuietly(scene.look, count == 1 ? reason : fmt::format("{}  ({} findings)", reason, count));
}

void DrawReportLine(FindingsState& state, const Scene& scene) {
  const Look& look = scene.look;
  if (DrawWork(scene, state.reporting)) return;
  ButtonRow row(look);
  if (row.Add("Write the report", scene.keys.KeyFor("report"))) scene.wishes.actions.emplace_back("report");
  if (state.report_path.empty()) return;
  if (row.Add("Read it", scene.keys.KeyFor("read report"))) scene.wishes.actions.emplace_back("read report");
  SayQuietly(look, "It is in " + (scene.view.hidden ? "the folder of this case" : state.report_path));
}

}  // namespace

void DrawFindingsSheet(FindingsState& state, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  DrawReportLine(state, scene);
  DrawReportWords(state, scene, edits);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  int number = 0;
  for (const std::string& subject : SubjectsIn(state.findings)) {
    std::vector<const Finding*> shown;
    for (const Finding& finding : state.findings)
      if (finding.measured.estimate && IsShown(finding) && SubjectOf(finding.name) == subject)
        shown.push_back(&finding);
    if (shown.empty()) continue;
    Heading(look, HeadingOf(subject));
    const std::set<std::string> said = SharedCautions(shown);
    for (const std::string& caution : said) SayQuietly(look, "! " + caution);
    for (const Finding* finding : shown) DrawFinding(state, scene, *finding, number++, said);
  }
  const bool computing = state.measuring && !state.measuring->ended();
  if (number == 0)
    SayQuietly(look, computing ? "Computing …"
                               : "Nothing is computed yet. Tag steps, or mark outlines on the picture.");
  ImGui::PopStyleVar();
  DrawMissing(state, scene);
  ImGui::Dummy({0, look.Px(6)});
  SayQuietly(look, state.refined || number == 0
                       ? "Small: limits that hold the true value with 95 % probability."
                       : "Small: limits, still rough; the full ones are being computed.");
}

}  // namespace afterscope
