// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/report/series/person_reports.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

DocumentSection WordsSection(const PersonRecord& person, const ReportWords& words) {
  DocumentSection section{SeriesText(words, "words"), {}};
  if (person.words.empty()) section.Say(SeriesText(words, "words.none"));
  for (const ReviewWords& review : person.words) {
    section.Say(SeriesText(words, "words.head", {review.date, review.code}), Voice::kStrong);
    if (!review.strengths.empty())
      section.Say(SeriesText(words, "words.strengths", {JoinText(review.strengths, "; ")}), Voice::kQuoted);
    if (!review.change.empty())
      section.Say(SeriesText(words, "words.change", {review.change}), Voice::kQuoted);
  }
  return section;
}

DocumentSection GoalsSection(const PersonRecord& person, const ReportWords& words) {
  DocumentSection section{SeriesText(words, "goals"), {}};
  if (person.goals.empty()) {
    section.Say(SeriesText(words, "goals.none"));
    return section;
  }
  const auto met = std::count_if(person.goals.begin(), person.goals.end(),
                                 [](const AgreedGoal& goal) { return goal.outcome == "met"; });
  section.Say(
      SeriesText(words, "goals.count", {fmt::format("{}", person.goals.size()), fmt::format("{}", met)}));
  DocumentTable table{
      {SeriesText(words, "goals.date"), SeriesText(words, "goals.case"), SeriesText(words, "goals.goal"),
       SeriesText(words, "goals.by"), SeriesText(words, "goals.outcome")},
      {0.13, 0.14, 0.43, 0.13, 0.17},
      {},
      5};
  for (const AgreedGoal& goal : person.goals)
    table.rows.push_back({goal.date, goal.code, goal.drill, goal.by,
                          goal.outcome.empty() ? SeriesText(words, "goals.open") : goal.outcome});
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection NextSection(const PersonRecord& person, const ReportWords& words) {
  DocumentSection section{SeriesText(words, "next"), {}};
  const auto goal = std::find_if(person.goals.rbegin(), person.goals.rend(),
                                 [](const AgreedGoal& agreed) { return agreed.outcome != "met"; });
  if (goal == person.goals.rend())
    section.Say(SeriesText(words, "next.none"));
  else
    section.Say(goal->by.empty() ? goal->drill : SeriesText(words, "next.goal", {goal->drill, goal->by}),
                Voice::kQuoted);
  return section;
}

// `key` names the words of its heading.
DocumentSection MomentsSection(const std::string& key, const std::vector<ShownMoment>& moments,
                               const ReportWords& words) {
  DocumentSection section{SeriesText(words, key), {}};
  if (moments.empty()) section.Say(SeriesText(words, key + ".none"));
  for (const ShownMoment& moment : moments) {
    section.Say(
        moment.title.empty() ? moment.kind : SeriesText(words, "moments.head", {moment.kind, moment.title}),
        Voice::kStrong);
    section.Say(SeriesText(words, "moments.place", {moment.date, moment.code, moment.place}), Voice::kSmall);
    if (!moment.score.empty()) section.Say(moment.score);
    if (!moment.words.empty()) section.Say(moment.words, Voice::kQuoted);
    if (moment.picture) section.blocks.emplace_back(*moment.picture);
  }
  return section;
}

}  // namespace

SheetDocument ProgressReport(const SeriesModel& model, const PersonRecord& person, const ReportWords& words) {
  SheetDocument document;
  document.title = SeriesText(words, "progress.title");
  document.subtitle = person.code;
  document.facts = SeriesFacts(model, words);
  document.footer = SeriesText(words, "footer");
  document.sections = {WordsSection(person, words),
                       GoalsSection(person, words),
                       NextSection(person, words),
                       MomentsSection("best", person.best, words),
                       MomentsSection("moments", person.moments, words),
                       FiguresSection(model, words),
                       ChartsSection(model, words),
                       ComplicationsSection(model, words),
                       CautionsSection(model, words),
                       MethodSection(model, words)};
  return document;
}

}  // namespace afterscope
