// SPDX-License-Identifier: Apache-2.0
#include "app/common/series_call.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <filesystem>

namespace afterscope {
namespace {

Status CheckFilter(SeriesCall& call) {
  for (const std::string& date : {call.filter.from, call.filter.to})
    if (!date.empty() && !IsDate(date))
      return Error{ErrorCode::kBadCall, fmt::format("'{}' is no date: give YYYY-MM-DD.", date)};
  for (const std::string& field : call.fields) {
    AFTERSCOPE_ASSIGN(const auto pair, NameAndValue(field, "--field"));
    call.filter.extra[pair.first] = pair.second;
  }
  return {};
}

std::string IndexPath(const SeriesCall& call) {
  if (call.index.empty()) return DefaultIndexPath();
  return IsPostgresAddress(call.index) ? call.index : std::filesystem::absolute(call.index).generic_string();
}

}  // namespace

void AddFolderOptions(CLI::App& sub, SeriesCall& call) {
  sub.add_option("DIR", call.folder, "folder with cases in it, at most four levels down")->required();
  sub.add_option(
      "--index", call.index,
      "file of the index, or postgresql://... (default: $AFTERSCOPE_INDEX, else in the user's data folder)");
}

void AddSeriesOptions(CLI::App& sub, SeriesCall& call) {
  AddFolderOptions(sub, call);
  SeriesFilter& f = call.filter;
  sub.add_option("--operator", f.operator_code, "who operated; only that person's own visits count");
  sub.add_option("--from", f.from, "date of the first case, YYYY-MM-DD");
  sub.add_option("--to", f.to, "date of the last case, YYYY-MM-DD");
  sub.add_option("--eye", f.eye, "right or left")->check(CLI::IsMember({"right", "left", "unknown"}));
  sub.add_option("--operation", f.operation, "the operation, in the words of the case");
  sub.add_option("--step-list", f.step_list, "id of the step list");
  sub.add_option("--role", f.operator_role, "role of the operator");
  sub.add_option("--difficulty", f.difficulty, "a difficulty's key, or any, or none");
  sub.add_option("--complication", f.complication, "a complication's key, or any, or none");
  sub.add_option("--reviewer", f.reviewer_code, "who reviewed");
  sub.add_option("--kind", f.kind, "kind of review (default in figures: formative)")
      ->check(CLI::IsMember({"formative", "formal"}));
  sub.add_option("--field", call.fields, "NAME=VALUE of a case's own field (extra.NAME)")->take_all();
}

Result<CurrentIndex> OpenUpToDate(SeriesCall& call) {
  AFTERSCOPE_TRY(CheckFilter(call));
  AFTERSCOPE_ASSIGN(CurrentIndex open,
                    OpenCurrentIndex(IndexPath(call), call.folder,
                                     ConsoleProgress("Bringing the index up to date"), ConsoleStop()));
  for (const std::string& problem : open.update.problems) Say(stderr, "{}\n", problem);
  if (open.update.cases == 0)
    return Error{ErrorCode::kUnreadable, fmt::format("There is no case in or under '{}'.", call.folder)};
  return open;
}

}  // namespace afterscope
