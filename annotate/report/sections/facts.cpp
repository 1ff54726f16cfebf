// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/sections/facts.hpp"

#include "annotate/case/text.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

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

}  // namespace

std::string SubtitleOf(const ReportModel& model) {
  std::vector<std::string> parts;
  for (const std::string& part : {model.heading.operation, model.heading.eye, model.heading.date})
    if (!part.empty()) parts.push_back(part);
  return JoinText(parts, "  ·  ");
}

std::vector<Fact> FactsOf(const ReportModel& model) {
  const ReportHeading& heading = model.heading;
  const auto or_not_stated = [&](const std::string& text) {
    return text.empty() ? model.words.Text("not_stated") : text;
  };
  const std::string review =
      heading.review_kind + ", " + model.words.Text(heading.is_signed ? "review.signed" : "review.unsigned");
  std::string who = or_not_stated(heading.operator_code);
  if (!heading.operator_role.empty()) who += ", " + heading.operator_role;
  return {{model.words.Text("operator"), who},
          {model.words.Text("supervision"), or_not_stated(heading.supervision_level)},
          {model.words.Text("share"), ShareText(model)},
          {model.words.Text("difficulty"), heading.difficulty.empty() ? model.words.Text("difficulty.none")
                                                                      : JoinText(heading.difficulty, ", ")},
          {model.words.Text("reviewer"), or_not_stated(heading.reviewer_code)},
          {model.words.Text("review"), review}};
}

}  // namespace afterscope
