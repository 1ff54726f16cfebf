// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/report/series/person_reports.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

void Say(DocumentSection& section, std::string text, Voice voice = Voice::kPlain) {
  section.blocks.emplace_back(DocumentText{std::move(text), voice});
}

DocumentSection WordsSection(const PersonRecord& person) {
  DocumentSection section{"What the reviews say", {}};
  if (person.words.empty())
    Say(section, "No review holds words yet: strengths and the change to make are written in the review.");
  for (const ReviewWords& words : person.words) {
    Say(section, fmt::format("{} {}", words.date, words.code), Voice::kStrong);
    if (!words.strengths.empty())
      Say(section, "Strengths: " + JoinText(words.strengths, "; "), Voice::kQuoted);
    if (!words.change.empty()) Say(section, "To change: " + words.change, Voice::kQuoted);
  }
  return section;
}

DocumentSection GoalsSection(const PersonRecord& person) {
  DocumentSection section{"Goals", {}};
  if (person.goals.empty()) {
    Say(section, "No goal has been agreed yet.");
    return section;
  }
  const auto met = std::count_if(person.goals.begin(), person.goals.end(),
                                 [](const AgreedGoal& goal) { return goal.outcome == "met"; });
  Say(section, fmt::format("{} agreed, {} met.", person.goals.size(), met));
  DocumentTable table{
      {"Agreed on", "Case", "Goal", "By", "What became of it"}, {0.13, 0.14, 0.43, 0.13, 0.17}, {}, 5};
  for (const AgreedGoal& goal : person.goals)
    table.rows.push_back(
        {goal.date, goal.code, goal.drill, goal.by, goal.outcome.empty() ? "open" : goal.outcome});
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection NextSection(const PersonRecord& person) {
  DocumentSection section{"Next", {}};
  bool any = false;
  for (auto goal = person.goals.rbegin(); goal != person.goals.rend() && !any; ++goal)
    if (goal->outcome != "met") {
      Say(section, goal->drill + (goal->by.empty() ? "" : fmt::format(" (by {})", goal->by)), Voice::kQuoted);
      any = true;
    }
  if (!any) Say(section, "To be agreed:");
  return section;
}

DocumentSection MomentsSection(const PersonRecord& person) {
  DocumentSection section{"Moments to learn from", {}};
  if (person.moments.empty()) Say(section, "No teaching point or complication is tagged in these cases.");
  for (const ShownMoment& moment : person.moments) {
    Say(section, moment.title.empty() ? moment.kind : fmt::format("{}: {}", moment.kind, moment.title),
        Voice::kStrong);
    Say(section, fmt::format("{} {}, at {}", moment.date, moment.code, moment.place), Voice::kSmall);
    if (!moment.words.empty()) Say(section, moment.words, Voice::kQuoted);
    if (moment.picture) section.blocks.emplace_back(*moment.picture);
  }
  return section;
}

}  // namespace

SheetDocument ProgressReport(const SeriesModel& model, const PersonRecord& person) {
  SheetDocument document;
  document.title = "Progress report";
  document.subtitle = person.code;
  document.facts = SeriesFacts(model);
  document.footer = kSeriesFooter;
  document.sections = {WordsSection(person),  GoalsSection(person),   ChartsSection(model),
                       FiguresSection(model), MomentsSection(person), ComplicationsSection(model),
                       NextSection(person),   CautionsSection(model)};
  return document;
}

}  // namespace afterscope
