// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/jobs/series/series_outcome_table.hpp"
#include "annotate/store/json_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/common/series_call.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostOutcomesBytes = 64LL << 20;

struct OutcomesCall {
  SeriesCall base;
  std::string table;
  std::string json;
};

Json JsonFrom(const std::vector<IndexCase>& cases) {
  Json all = Json::array();
  for (const IndexCase& entry : cases) {
    Json outcomes = Json::object();
    for (const auto& [name, text] : entry.extra)
      if (name.starts_with("outcome.")) outcomes[name.substr(8)] = text;
    if (!outcomes.empty())
      all.push_back({{"case", entry.code}, {"folder", entry.folder}, {"outcomes", std::move(outcomes)}});
  }
  return all;
}

Status PrintOutcomes(const std::vector<IndexCase>& cases) {
  bool any = false;
  for (const IndexCase& entry : cases)
    for (const auto& [name, text] : entry.extra) {
      if (!name.starts_with("outcome.")) continue;
      Say("{}\t{}\t{}\n", entry.code, name.substr(8), text);
      any = true;
    }
  if (!any) Say("No outcome has been entered for these cases.\n");
  return {};
}

Status Outcomes(OutcomesCall& call) {
  AFTERSCOPE_ASSIGN(const CurrentIndex open, OpenUpToDate(call.base));
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(*open.index, open.folder));
  const std::vector<IndexCase>& cases = records.cases;
  if (!call.json.empty() && call.table.empty())
    return WriteJsonOutput(call.json, ReadableText(JsonFrom(cases)));
  if (!call.json.empty())
    return Error{ErrorCode::kBadCall, "--json writes the outcomes of cases: give it without --table."};
  if (call.table.empty()) return PrintOutcomes(cases);
  AFTERSCOPE_ASSIGN(const KnownColumns known, LoadKnownColumns(AssetsFolder()));
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(call.table, kMostOutcomesBytes));
  AFTERSCOPE_ASSIGN(const TextTable read, ReadDelimited(text, call.table));
  AFTERSCOPE_ASSIGN(const OutcomeTable table, OutcomesFromTable(read, known, cases));
  for (const std::string& caution : table.cautions) Say(stderr, "{}\n", caution);
  if (table.rows.empty())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Nothing could be taken from '{}': no case was changed.", call.table)};
  AFTERSCOPE_ASSIGN(const int changed, KeepOutcomes(table));
  Say("{} of {} cases changed\n", changed, table.rows.size());
  return {};
}

}  // namespace

Command OutcomesCommand() {
  return {
      "outcomes", "Brings in outcomes and other fields of cases from a table, or lists outcomes",
      [](CLI::App& sub) {
        auto call = std::make_shared<OutcomesCall>();
        AddFolderOptions(sub, call->base);
        sub.add_option(
            "--table", call->table,
            "table with a column 'case' (or 'operator': all cases of that person) and columns named as in "
            "assets/outcomes.json, such as acuity_logmar or course, or extra.NAME");
        sub.add_option("--json", call->json, "file for the outcomes as JSON, - for standard output");
        return [call] {
          const Status done = Outcomes(*call);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
