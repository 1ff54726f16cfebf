// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/facts.hpp"

#include "annotate/case/text.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

std::vector<std::string> NotEmpty(std::vector<std::string> parts) {
  std::erase(parts, "");
  return parts;
}

std::string TakeOversText(const ReportModel& model, int count) {
  if (count == 0) return model.words.Text("share.take_overs.none");
  if (count == 1) return model.words.Text("share.take_overs.one");
  return FillBraces(model.words.Text("share.take_overs.many"), {fmt::format("{}", count)});
}

std::string ShareText(const ReportModel& model) {
  if (!model.share) return model.words.Text("share.none");
  const OwnShare& share = *model.share;
  return FillBraces(model.words.Text("share.value"),
                    {FormatShare(share.own_seconds / share.total_seconds), FormatLength(share.own_seconds),
                     FormatLength(share.total_seconds)}) +
         "; " + TakeOversText(model, share.take_overs);
}

std::string OutcomeKey(GoalOutcome outcome) {
  switch (outcome) {
    case GoalOutcome::kMet:
      return "earlier_goal.met";
    case GoalOutcome::kPartlyMet:
      return "earlier_goal.partly_met";
    case GoalOutcome::kNotMet:
      return "earlier_goal.not_met";
    case GoalOutcome::kNotSaid:
      break;
  }
  return "earlier_goal.not_said";
}

}  // namespace

std::string SubtitleOf(const ReportModel& model) {
  return JoinText(NotEmpty({model.heading.operation, model.heading.eye, model.heading.date}), "  ·  ");
}

std::string EarlierGoalOf(const ReportModel& model) {
  if (!model.earlier_goal) return {};
  const EarlierGoal& goal = *model.earlier_goal;
  std::string text = goal.drill.empty() ? model.words.Text("earlier_goal.unknown") : goal.drill;
  const std::string from = JoinText(NotEmpty({goal.case_code, goal.date}), ", ");
  if (!from.empty()) text = FillBraces(model.words.Text("earlier_goal.from"), {text, from});
  return text + ": " + model.words.Text(OutcomeKey(goal.outcome));
}

std::vector<std::string> AnswersOf(const ReportModel& model) {
  std::vector<std::string> answers;
  for (const ReviewAnswer& answer : model.answers) {
    const std::string from = JoinText(NotEmpty({answer.by, answer.date}), ", ");
    answers.push_back(from.empty() ? answer.text : fmt::format("{} ({})", answer.text, from));
  }
  return answers;
}

std::vector<Fact> FactsOf(const ReportModel& model) {
  const ReportHeading& heading = model.heading;
  const auto or_not_stated = [&](const std::string& text) {
    return text.empty() ? model.words.Text("not_stated") : text;
  };
  std::vector<std::string> review{heading.review_kind};
  review.insert(review.end(), heading.review_traits.begin(), heading.review_traits.end());
  review.push_back(model.words.Text(heading.is_signed ? "review.signed" : "review.unsigned"));
  std::string who = or_not_stated(heading.operator_code);
  if (!heading.operator_role.empty()) who += ", " + heading.operator_role;
  return {{model.words.Text("operator"), who},
          {model.words.Text("supervision"), or_not_stated(heading.supervision_level)},
          {model.words.Text("share"), ShareText(model)},
          {model.words.Text("difficulty"), heading.difficulty.empty() ? model.words.Text("difficulty.none")
                                                                      : JoinText(heading.difficulty, ", ")},
          {model.words.Text("reviewer"), or_not_stated(heading.reviewer_code)},
          {model.words.Text("review"), JoinText(review, ", ")}};
}

}  // namespace afterscope
