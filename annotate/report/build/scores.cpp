// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <algorithm>
#include <set>

namespace afterscope {

namespace {

std::string ValueText(const ReportBuild& build, const ScoreItem* item, const Score& score) {
  if (!score.value) return build.Text("scores.not_applicable");
  std::string text = TextFrom(*score.value);
  if (!item) return text;
  text = build.Filled("scores.of", text, TextFrom(item->Most()));
  const ScoreLevel* level = item->Find(*score.value);
  return level && !level->name.empty() ? text + "  ·  " + level->name : text;
}

ScoreRow RowOf(const ReportBuild& build, const ScoreSheet* sheet, const Score& score) {
  const ScoreItem* item = sheet ? sheet->Find(score.id.item) : nullptr;
  ScoreRow row;
  row.name = item ? item->name : build.NameOf(score.id.item);
  if (item)
    for (const ScoreGroup& group : sheet->groups)
      if (group.key == item->group) row.group = group.name;
  row.value = ValueText(build, item, score);
  row.remark = score.remark;
  for (const MomentId& id : score.moments)
    for (const Moment& moment : build.in.review.moments)
      if (moment.id == id) row.moments.push_back(build.FrameOf(moment.at));
  return row;
}

std::string SumText(const ReportBuild& build, const ScoreSheet& sheet) {
  const ScoreSum sum = SumScores(sheet, build.in.review.scores);
  std::string text = build.Filled("scores.count", std::to_string(sum.scored), std::to_string(sum.items),
                                  std::to_string(sum.not_applicable), std::to_string(sum.missing));
  if (sum.percent)
    text =
        build.Filled("scores.sum", TextFrom(sum.sum), TextFrom(sum.most), FormatShare(*sum.percent / 100)) +
        " " + text;
  if (sum.passed) text += " " + build.Text(*sum.passed ? "scores.passed" : "scores.not_passed");
  return text;
}

// The sheet's items in its order; without the sheet the scores as they lie.
ScorePanel PanelOf(const ReportBuild& build, const std::string& id) {
  const auto& sheets = build.in.score_sheets;
  const auto found =
      std::find_if(sheets.begin(), sheets.end(), [&](const ScoreSheet& sheet) { return sheet.id == id; });
  const ScoreSheet* sheet = found == sheets.end() ? nullptr : &*found;
  ScorePanel panel;
  panel.title = sheet ? sheet->name : build.NameOf(id);
  const std::vector<Score>& scores = build.in.review.scores;
  if (sheet)
    for (const ScoreItem& item : sheet->items)
      if (const Score* score = FindScore(scores, id, item.key))
        panel.rows.push_back(RowOf(build, sheet, *score));
  for (const Score& score : scores)
    if (score.id.sheet == id && !(sheet && sheet->Find(score.id.item)))
      panel.rows.push_back(RowOf(build, nullptr, score));
  panel.sum = sheet ? SumText(build, *sheet) : build.Text("scores.no_sheet");
  return panel;
}

}  // namespace

void FillScores(ReportBuild& build) {
  std::set<std::string> sheets;
  for (const Score& score : build.in.review.scores) sheets.insert(score.id.sheet);
  for (const std::string& id : sheets) build.model.scores.push_back(PanelOf(build, id));
}

}  // namespace afterscope
