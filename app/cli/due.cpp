// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/jobs/series/series_follow_ups.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/json_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/series_call.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <memory>

namespace afterscope {
namespace {

struct DueCall {
  SeriesCall base;
  std::string on;
  std::string plan;
  std::string done;
  bool all = false;
  std::string json;
};

Json JsonFrom(const FollowUp& f) {
  return {{"case", f.code}, {"folder", f.folder}, {"operator", f.operator_code},
          {"key", f.key},   {"name", f.name},     {"from", f.from},
          {"to", f.to},     {"done", f.done},     {"state", StateWords(f.state)}};
}

Result<EditGroup> ChangeOf(const DueCall& call, const CaseRecord& record,
                           const std::vector<NamedKey>& known) {
  if (!call.done.empty()) return TickOffFollowUp(call.done, call.on, Today(), record, known);
  for (const NamedKey& follow_up : known)
    if (follow_up.key == call.plan) return PlanFollowUp(follow_up, record.date);
  return Error{
      ErrorCode::kBadCall,
      fmt::format("There is no follow-up '{}' in assets/outcomes.json; any other can be set as the field "
                  "extra.follow_up.NAME = 'YYYY-MM-DD to YYYY-MM-DD'.",
                  call.plan)};
}

Status Change(const DueCall& call, const std::vector<NamedKey>& known) {
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(call.base.folder, {}));
  AFTERSCOPE_TRY(TellBeforeChange(*session));
  AFTERSCOPE_ASSIGN(const EditGroup change, ChangeOf(call, session->record(), known));
  AFTERSCOPE_TRY(session->Commit(change));
  SaveCheckpointOrTell(*session);
  return {};
}

Status Due(DueCall& call) {
  if (call.on.empty()) call.on = Today();
  if (!IsDate(call.on))
    return Error{ErrorCode::kBadCall, fmt::format("'{}' is no date: give YYYY-MM-DD.", call.on)};
  AFTERSCOPE_ASSIGN(const std::vector<NamedKey> known,
                    LoadNamedKeys(AssetsFolder() + "/outcomes.json", "follow_ups"));
  if (!call.plan.empty() || !call.done.empty()) return Change(call, known);
  AFTERSCOPE_ASSIGN(const CurrentIndex open, OpenUpToDate(call.base));
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(*open.index, open.folder));
  const std::vector<IndexCase>& cases = records.cases;
  std::vector<std::string> cautions;
  std::vector<FollowUp> follow_ups = FollowUpsOn(call.on, cases, known, cautions);
  for (const std::string& caution : cautions) Say(stderr, "{}\n", caution);
  if (!call.all)
    std::erase_if(follow_ups, [](const FollowUp& f) {
      return f.state != FollowUpState::kDue && f.state != FollowUpState::kOverdue;
    });
  if (!call.json.empty()) {
    Json all = Json::array();
    for (const FollowUp& follow_up : follow_ups) all.push_back(JsonFrom(follow_up));
    return WriteJsonOutput(call.json, ReadableText(all));
  }
  if (follow_ups.empty() && call.all) Say("No case has a follow-up.\n");
  if (follow_ups.empty() && !call.all) Say("Nothing is due on {}.\n", call.on);
  for (const FollowUp& f : follow_ups)
    Say("{}\t{}\t{}\t{}\t{}\n", f.code, StateWords(f.state), WindowWords(f), f.name, f.done);
  return {};
}

}  // namespace

Command DueCommand() {
  return {"due", "Follow-ups that are due, or plans one and ticks it off", [](CLI::App& sub) {
            auto call = std::make_shared<DueCall>();
            AddFolderOptions(sub, call->base);
            sub.add_option("--on", call->on, "as they stand on this date (default: today), YYYY-MM-DD");
            sub.add_flag("--all", call->all, "also what is done or still to come");
            sub.add_option("--plan", call->plan,
                           "DIR is one case: looks at it again, by a key of assets/outcomes.json");
            sub.add_option("--done", call->done,
                           "DIR is one case: this follow-up, planned or known, was done on the date of --on");
            sub.add_option("--json", call->json, "file for the list as JSON, - for standard output");
            return [call] {
              const Status done = Due(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
