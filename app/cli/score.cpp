// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/score_sheet.hpp"
#include "annotate/case/text.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/json_text.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <memory>

namespace afterscope {
namespace {

struct ScoreCall {
  std::string folder;
  std::string sheet;
  std::string review;
  std::string reviewer;
  std::vector<std::string> values;
  std::vector<std::string> remarks;
  std::vector<std::string> moments;
  std::vector<std::string> removed;
  std::string json;
};

using Assignments = std::map<std::string, std::string>;

Result<Assignments> AssignmentsFrom(const std::vector<std::string>& texts, const std::string& option) {
  Assignments pairs;
  for (const std::string& text : texts) {
    AFTERSCOPE_ASSIGN(auto pair, NameAndValue(text, option));
    if (!pairs.insert(pair).second)
      return Error{ErrorCode::kBadCall, fmt::format("{} is given twice for '{}'.", option, pair.first)};
  }
  return pairs;
}

// The item's score as it is or as this call has made it; a remark or a moment alone needs one.
Result<Score*> Existing(std::map<std::string, Score>& changed, const std::vector<Score>& scores,
                        const ScoreSheet& sheet, const std::string& item) {
  if (const auto found = changed.find(item); found != changed.end()) return &found->second;
  if (!sheet.Find(item))
    return Error{ErrorCode::kBadCall, fmt::format("The score sheet '{}' has no item '{}'.", sheet.id, item)};
  const Score* known = FindScore(scores, sheet.id, item);
  if (!known)
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' has no score yet: give one with --item {}=VALUE.", item, item)};
  return &(changed[item] = *known);
}

Result<std::vector<MomentId>> MomentsFrom(const Review& review, const std::string& text) {
  std::vector<MomentId> ids;
  for (const std::string& id : SplitText(text, ',')) {
    const bool known = std::any_of(review.moments.begin(), review.moments.end(),
                                   [&](const Moment& moment) { return moment.id.value == id; });
    if (!known) return Error{ErrorCode::kBadCall, fmt::format("The review has no moment '{}'.", id)};
    ids.push_back({id});
  }
  return ids;
}

Result<EditGroup> EditsOf(const ScoreCall& call, const ScoreSheet& sheet, const Review& review) {
  const std::vector<Score>& scores = review.scores;
  AFTERSCOPE_ASSIGN(const Assignments values, AssignmentsFrom(call.values, "--item"));
  AFTERSCOPE_ASSIGN(const Assignments remarks, AssignmentsFrom(call.remarks, "--remark"));
  AFTERSCOPE_ASSIGN(const Assignments moments, AssignmentsFrom(call.moments, "--moment"));
  std::map<std::string, Score> changed;
  for (const auto& [item, value] : values) {
    AFTERSCOPE_ASSIGN(Score score, MakeScore(sheet, item, value));
    if (const Score* before = FindScore(scores, sheet.id, item)) {
      score.remark = before->remark;
      score.moments = before->moments;
    }
    changed[item] = std::move(score);
  }
  for (const auto& [item, text] : remarks) {
    AFTERSCOPE_ASSIGN(Score* const score, Existing(changed, scores, sheet, item));
    score->remark = text;
  }
  for (const auto& [item, text] : moments) {
    AFTERSCOPE_ASSIGN(Score* const score, Existing(changed, scores, sheet, item));
    AFTERSCOPE_ASSIGN(score->moments, MomentsFrom(review, text));
  }
  EditGroup group{"Score", {}};
  for (const auto& [item, score] : changed) group.edits.emplace_back(Put<Score>{score});
  for (const std::string& item : call.removed) group.edits.emplace_back(Remove<ScoreId>{{sheet.id, item}});
  return group;
}

std::string SumText(const ScoreSum& sum) {
  std::string text = fmt::format("{} scored, {} not applicable, {} without a score", sum.scored,
                                 sum.not_applicable, sum.missing);
  if (sum.percent)
    text += fmt::format("; {} of {} ({:.0f} % of what applies)", TextFrom(sum.sum), TextFrom(sum.most),
                        *sum.percent);
  if (sum.passed) text += *sum.passed ? "; passed" : "; not passed";
  return text;
}

void PrintItem(const ScoreItem& item, const Score* score) {
  const std::string value = !score ? "-" : score->value ? TextFrom(*score->value) : "na";
  const ScoreLevel* level = score && score->value ? item.Find(*score->value) : nullptr;
  Say("{}\t{}\t{}\t{}\n", item.key, value, item.name, level ? level->description : "");
  if (score && !score->remark.empty()) Say("\t\t{}\n", score->remark);
  if (score) return;
  for (const ScoreLevel& l : item.levels) Say("\t  {}\t{}\t{}\n", TextFrom(l.value), l.name, l.description);
}

Json SumJson(const ScoreSum& sum) {
  const auto or_null = [](const auto& value) { return value ? Json(*value) : Json(); };
  return {{"items", sum.items},
          {"scored", sum.scored},
          {"not_applicable", sum.not_applicable},
          {"missing", sum.missing},
          {"sum", sum.sum},
          {"most", sum.most},
          {"mean", or_null(sum.mean)},
          {"percent", or_null(sum.percent)},
          {"passed", or_null(sum.passed)}};
}

Json JsonFrom(const Score& score) {
  Json moments = Json::array();
  for (const MomentId& moment : score.moments) moments.push_back(moment.value);
  return {{"item", score.id.item},
          {"value", score.value ? Json(*score.value) : Json()},
          {"remark", score.remark},
          {"moments", std::move(moments)}};
}

Json ScoresJson(const ScoreSheet& sheet, const Review& review) {
  const std::vector<Score>& scores = review.scores;
  Json given = Json::array();
  for (const ScoreItem& item : sheet.items)
    if (const Score* score = FindScore(scores, sheet.id, item.key)) given.push_back(JsonFrom(*score));
  Json groups = Json::object();
  for (const ScoreGroup& group : sheet.groups)
    groups[group.key] = SumJson(SumScores(sheet, scores, group.key));
  return {{"sheet", sheet.id},
          {"review", review.id.value},
          {"reviewer", review.reviewer_code},
          {"is_signed", review.is_signed},
          {"scores", std::move(given)},
          {"groups", std::move(groups)},
          {"all", SumJson(SumScores(sheet, scores))},
          {"unfinished", UnfinishedScores(sheet, scores, review)}};
}

void Print(const ScoreSheet& sheet, const Review& review) {
  const std::vector<Score>& scores = review.scores;
  Say("{}{}\n", sheet.name, review.is_signed ? " (signed)" : "");
  for (const ScoreItem& item : sheet.items) PrintItem(item, FindScore(scores, sheet.id, item.key));
  for (const ScoreGroup& group : sheet.groups)
    Say("{}: {}\n", group.name, SumText(SumScores(sheet, scores, group.key)));
  Say("{}\n", SumText(SumScores(sheet, scores)));
  for (const std::string& sentence : UnfinishedScores(sheet, scores, review)) Say("{}\n", sentence);
}

Status KeepScores(CaseSession& session, const ScoreSheet& sheet, const EditGroup& edits) {
  if (edits.edits.empty()) return {};
  if (session.review().is_signed)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Review '{}' is signed and can't be changed.", session.review().id.value)};
  AFTERSCOPE_TRY(KeepScoreSheet(sheet, session.folder()));
  AFTERSCOPE_TRY(session.Commit(edits));
  SaveCheckpointOrTell(session);
  return {};
}

Status RunScore(const ScoreCall& call) {
  OpenCaseOptions open;
  if (!call.review.empty()) open.review = ReviewId{call.review};
  open.reviewer_code = call.reviewer;
  open.read_only =
      call.values.empty() && call.remarks.empty() && call.moments.empty() && call.removed.empty();
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(call.folder, open));
  if (open.read_only)
    TellCautions(*session);
  else
    AFTERSCOPE_TRY(TellBeforeChange(*session));
  AFTERSCOPE_ASSIGN(const ScoreSheet sheet, FindScoreSheet(call.sheet, call.folder, AssetsFolder()));
  AFTERSCOPE_ASSIGN(const EditGroup edits, EditsOf(call, sheet, session->review()));
  AFTERSCOPE_TRY(KeepScores(*session, sheet, edits));
  if (!call.json.empty())
    return WriteJsonOutput(call.json,
                           ReadableText(WithExportedNumbers(ScoresJson(sheet, session->review()))));
  Print(sheet, session->review());
  return {};
}

}  // namespace

Command ScoreCommand() {
  return {
      "score", "Scores a case by a score sheet, or shows its scores", [](CLI::App& sub) {
        auto call = std::make_shared<ScoreCall>();
        sub.add_option("CASEDIR", call->folder, "case folder")->required();
        sub.add_option("--sheet", call->sheet, "file of a score sheet, or the id of one that is here")
            ->required();
        sub.add_option("--review", call->review, "id of the review (default: the newest unsigned one)");
        sub.add_option("--reviewer", call->reviewer, "who reviews, where the review is new");
        sub.add_option("--item", call->values, "KEY=VALUE, or KEY=na where it does not apply")->take_all();
        sub.add_option("--remark", call->remarks, "KEY=TEXT")->take_all();
        sub.add_option("--moment", call->moments, "KEY=ID,ID: the moments that show it")->take_all();
        sub.add_option("--remove", call->removed, "KEY: takes a score back")->take_all();
        sub.add_option("--json", call->json, "file for the scores as JSON, - for standard output");
        return [call] {
          const Status done = RunScore(*call);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
