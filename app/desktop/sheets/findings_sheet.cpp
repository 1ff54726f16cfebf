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

constexpr float kSideOfRow = 6;

// What stands in the row of a finding.
struct Line {
  std::string label, value, limits, caution;
};

// The width that the value leaves for the label, which is broken where it is longer.
float RoomForLabel(const Look& look, const Line& line) {
  const float value = look.script->Size(look.fonts.strong, line.value).x;
  return std::max(look.Px(60), ImGui::GetContentRegionAvail().x - value - 3 * look.Px(kSideOfRow));
}

float HeightOf(const Look& look, const Line& line, float room) {
  const ImFont* font = look.fonts.body;
  const float more = look.script->Size(font, line.label, room).y - look.script->Size(font, line.label).y;
  return std::max(look.Px(line.limits.empty() ? 25 : 40),
                  look.Px(line.caution.empty() ? 25 : 40) + std::max(0.0F, more));
}

void DrawLine(const Look& look, const Line& line, const Row& row, float room) {
  const float side = look.Px(kSideOfRow);
  const Row upper{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
  const Row lower{false, false, {row.from.x, row.from.y + look.Px(19)}, {row.to.x, row.from.y + look.Px(40)}};
  const Row lowest{false, false, {row.from.x, row.to.y - look.Px(21)}, row.to};
  const ImFont* font = look.fonts.body;
  look.script->Draw(
      ImGui::GetWindowDrawList(), font,
      {std::round(row.from.x + side), std::round(row.from.y + (look.Px(22) - font->FontSize) / 2)},
      Ink(look.colours.text), line.label, room);
  RowTextRight(look, upper, row.to.x - side, line.value, look.colours.text, look.fonts.strong);
  if (!line.limits.empty())
    RowTextRight(look, lower, row.to.x - side, line.limits, look.colours.quiet, look.fonts.small);
  if (!line.caution.empty())
    RowText(look, lowest, row.from.x + side, "! " + line.caution, look.colours.quiet, look.fonts.small,
            row.to.x - row.from.x - look.script->Size(look.fonts.small, line.limits).x - 4 * side);
}

void DrawFinding(FindingsState& state, const Scene& scene, const Finding& finding, int number,
                 const std::set<std::string>& said) {
  const Look& look = scene.look;
  const Line line{LabelOf(state, scene, finding), FindingValueText(finding), FindingLimitsText(finding),
                  CautionOf(finding, said)};
  const float room = RoomForLabel(look, line);
  const Row row =
      BeginRow(look, fmt::format("{} {}", finding.name, number).c_str(), HeightOf(look, line, room), false);
  const std::string card = CardOf(finding);
  if (row.pressed) {
    state.card = state.card == card ? std::string() : card;
    if (!state.card.empty() && !finding.frames.empty()) scene.wishes.jump = finding.frames.front();
  }
  if (row.hovered) {
    scene.wishes.under = finding.measured.method;
    if (!finding.measured.cautions.empty()) scene.wishes.under = "! " + finding.measured.cautions.front();
  }
  DrawLine(look, line, row, room);
  if (state.card == card) DrawFindingCard(scene, finding, line.label, line.value, line.limits);
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

// The pupil, the centring and the focus come from following the eye.
void DrawWorkLines(const FindingsState& state, const Scene& scene) {
  const bool writing = DrawWork(scene, state.reporting), following = DrawWork(scene, state.following);
  ButtonRow row(scene.look);
  const auto add = [&](const char* words, const char* action) {
    if (row.Add(words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
  };
  if (!writing) add("Write the report", "report");
  if (!writing && !state.report_path.empty()) add("Read it", "read report");
  if (!following && !state.eye_followed && scene.Editable()) add("Follow the eye", "follow eye");
  if (!writing && !state.report_path.empty())
    SayQuietly(scene.look, "It is in " + (scene.view.hidden ? "the folder of this case" : state.report_path));
}

}  // namespace

void DrawFindingsSheet(FindingsState& state, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  DrawWorkLines(state, scene);
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
