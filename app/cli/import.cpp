// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"
#include "annotate/exchange/step_table.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "annotate/store/whole_folder.hpp"
#include "app/cli/import_narration.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostImportBytes = 64LL << 20;

struct ImportOptions {
  std::string folder;
  std::string steps;
  std::string case_table;
  std::string name_table;
  std::vector<std::string> columns;
  std::vector<std::string> case_columns;
  std::vector<std::string> name_columns;
  std::string unit = "frames";
  std::string rate;
  std::string total;
  bool end_included = false;
  std::vector<std::string> step_keys;
  std::vector<std::string> fields;
  ImportNarrationOptions narration;
};

Result<TextTable> ReadTable(const std::string& file) {
  AFTERSCOPE_ASSIGN(const std::string text, RealFileSystem().ReadAll(file, kMostImportBytes));
  return ReadDelimited(text, file);
}

Result<ColumnMap> Pairs(const std::vector<std::string>& texts, const std::string& option,
                        const std::set<std::string>& known) {
  ColumnMap pairs;
  for (const std::string& text : texts) {
    AFTERSCOPE_ASSIGN(const auto pair, NameAndValue(text, option));
    if (!known.empty() && !known.contains(pair.first))
      return Error{ErrorCode::kBadCall, fmt::format("Can't read {} '{}': the name must be one of {}.", option,
                                                    text, JoinText({known.begin(), known.end()}, ", "))};
    pairs[pair.first] = pair.second;
  }
  return pairs;
}

Result<StepTableOptions> TableOptions(const ImportOptions& options) {
  StepTableOptions table;
  AFTERSCOPE_ASSIGN(table.columns,
                    Pairs(options.columns, "--columns", {"step", "start", "end", "case", "operator"}));
  AFTERSCOPE_ASSIGN(table.case_columns,
                    Pairs(options.case_columns, "--case-columns", {"case", "total", "rate", "operator"}));
  AFTERSCOPE_ASSIGN(table.name_columns, Pairs(options.name_columns, "--name-columns", {"step", "name"}));
  AFTERSCOPE_ASSIGN(table.step_keys, Pairs(options.step_keys, "--step", {}));
  table.unit = options.unit == "seconds" ? TableUnit::kSeconds : TableUnit::kFrames;
  table.end_included = options.end_included;
  if (!options.rate.empty()) {
    table.rate = RateFrom(options.rate);
    if (!table.rate)
      return Error{ErrorCode::kBadCall,
                   fmt::format("Can't read --rate '{}': give frames a second, such as 25 or 30000/1001.",
                               options.rate)};
  }
  if (!options.total.empty()) {
    table.total = NumberFrom(options.total);
    if (!table.total || *table.total <= 0)
      return Error{ErrorCode::kBadCall,
                   fmt::format("Can't read --total '{}': give frames or seconds.", options.total)};
  }
  return table;
}

// Where each case goes, made of its code; refused before anything is written where one is there already.
Result<std::vector<std::string>> FoldersFor(const std::vector<TableCase>& cases, const std::string& folder) {
  const bool many =
      std::any_of(cases.begin(), cases.end(), [](const TableCase& c) { return !c.code.empty(); });
  if (!many) return std::vector(cases.size(), folder);
  std::set<std::string> taken;
  std::vector<std::string> folders;
  for (const TableCase& table : cases) {
    folders.push_back(fmt::format("{}/{}", folder, TakeName(FolderNameOf(table.code), taken)));
    AFTERSCOPE_ASSIGN(const FileInfo there, RealFileSystem().Stat(folders.back()));
    if (there.type != FileType::kAbsent && !IsUnused(RealFileSystem(), folders.back()))
      return Error{ErrorCode::kUnwritable, fmt::format("'{}' is there already; nothing was imported: give "
                                                       "another folder.",
                                                       folders.back())};
  }
  return folders;
}

using Placer = std::function<Result<FrameRef>(double)>;

Result<EditGroup> StepsOf(const TableCase& table, CaseSession& session, const Placer& place) {
  EditGroup group{"Import steps", {}};
  for (const TableStep& step : table.steps) {
    StepVisit visit{session.NewVisitId(), step.step, 0, {}, {}, step.operator_code, false};
    AFTERSCOPE_ASSIGN(visit.start, place(step.start));
    if (step.end) {
      AFTERSCOPE_ASSIGN(visit.end, place(*step.end));
    }
    group.edits.emplace_back(Put<StepVisit>{std::move(visit)});
  }
  return group;
}

void Tell(const TableCase& table) {
  for (const std::string& caution : table.cautions)
    Say(stderr, "{}{}{}.\n", table.code, table.code.empty() ? "" : ": ", caution);
}

// Into a case that is there: frames by the recording's own table, seconds on the case clock.
Status IntoCase(const std::string& folder, const std::string& reviewer, const TableCase& table,
                TableUnit unit) {
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, {{}, reviewer}));
  CaseTimes times(*session);
  const auto& recordings = session->record().recordings;
  const bool only_times = recordings.size() == 1 && recordings[0].path.empty();
  const Placer place = [&](double value) -> Result<FrameRef> {
    if (only_times) return FrameRef{0, Pts{TicksFor(value, unit, recordings[0].shape.time_base)}};
    if (unit == TableUnit::kSeconds) return times.Read(TextFrom(value));
    return times.Read(fmt::format("f{}", static_cast<std::int64_t>(value)));
  };
  AFTERSCOPE_ASSIGN(const EditGroup group, StepsOf(table, *session, place));
  AFTERSCOPE_TRY(session->Commit(group));
  SaveCheckpointOrTell(*session);
  return {};
}

Status AsNewCase(const std::string& folder, const TableCase& table, CaseRecord record, TableUnit unit,
                 const std::vector<std::string>& fields) {
  Review none;
  AFTERSCOPE_ASSIGN(const EditGroup set, FieldEdits(fields));
  if (const auto done = ApplyEdits(set, record, none); !done.ok()) return done.error();
  return MakeWholeFolder(RealFileSystem(), folder, [&](const std::string& unfinished) -> Status {
    AFTERSCOPE_TRY(CaseSession::Create(unfinished, record));
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(unfinished, {}));
    const Rational time_base = record.recordings[0].shape.time_base;
    const Placer place = [&](double value) -> Result<FrameRef> {
      return FrameRef{0, Pts{TicksFor(value, unit, time_base)}};
    };
    AFTERSCOPE_ASSIGN(const EditGroup group, StepsOf(table, *session, place));
    AFTERSCOPE_TRY(session->Commit(group));
    return session->SaveCheckpoint();
  });
}

Result<std::vector<TableCase>> ReadCases(const ImportOptions& options,
                                         const StepTableOptions& table_options) {
  AFTERSCOPE_ASSIGN(const TextTable steps, ReadTable(options.steps));
  std::optional<TextTable> cases;
  std::optional<TextTable> names;
  if (!options.case_table.empty()) {
    AFTERSCOPE_ASSIGN(cases, ReadTable(options.case_table));
  }
  if (!options.name_table.empty()) {
    AFTERSCOPE_ASSIGN(names, ReadTable(options.name_table));
  }
  CaseRecord record;
  AFTERSCOPE_ASSIGN(const EditGroup set, FieldEdits(options.fields));
  Review none;
  if (const auto done = ApplyEdits(set, record, none); !done.ok()) return done.error();
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(record, options.folder, AssetsFolder()));
  return CasesFromTables(steps, cases ? &*cases : nullptr, names ? &*names : nullptr, table_options, list);
}

Status CheckTimeIsKnown(const std::vector<TableCase>& cases, TableUnit unit) {
  for (const TableCase& table : cases)
    if (unit == TableUnit::kFrames && !table.rate)
      return Error{
          ErrorCode::kBadCall,
          fmt::format(
              "How long a frame lasts is not known{}{}: give --rate, or a rate column of the table of "
              "cases.",
              table.code.empty() ? "" : " for case ", table.code)};
  return {};
}

Status Import(const ImportOptions& options) {
  if (options.steps.empty() == options.narration.file.empty())
    return Error{ErrorCode::kBadCall, "Give either --steps with a table or --narration with a file."};
  if (!options.narration.file.empty()) return ImportNarration(options.folder, options.narration);
  if (options.unit != "frames" && options.unit != "seconds")
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't read --unit '{}': give frames or seconds.", options.unit)};
  AFTERSCOPE_ASSIGN(const StepTableOptions table_options, TableOptions(options));
  AFTERSCOPE_ASSIGN(auto cases, ReadCases(options, table_options));
  if (IsCaseFolder(options.folder)) {
    if (cases.size() != 1)
      return Error{ErrorCode::kBadCall,
                   fmt::format("'{}' is one case, but the table holds {} cases; give a folder for "
                               "new cases.",
                               options.folder, cases.size())};
    Tell(cases[0]);
    AFTERSCOPE_TRY(IntoCase(options.folder, options.narration.reviewer, cases[0], table_options.unit));
    Say("{}\t{} steps\n", options.folder, cases[0].steps.size());
    return {};
  }
  AFTERSCOPE_TRY(CheckTimeIsKnown(cases, table_options.unit));
  AFTERSCOPE_ASSIGN(const std::vector<std::string> folders, FoldersFor(cases, options.folder));
  for (std::size_t i = 0; i < cases.size(); ++i) {
    TableCase& table = cases[i];
    const std::string& folder = folders[i];
    CaseRecord record = RecordFor(table, table_options.unit);
    Tell(table);
    AFTERSCOPE_TRY(AsNewCase(folder, table, std::move(record), table_options.unit, options.fields));
    Say("{}\t{} steps\n", folder, table.steps.size());
  }
  return {};
}

}  // namespace

Command ImportCommand() {
  return {"import", "Brings in a table of step times, or a timed narration", [](CLI::App& sub) {
            auto options = std::make_shared<ImportOptions>();
            sub.add_option("CASEDIR", options->folder, "a case, or a folder to make cases in")->required();
            sub.add_option("--steps", options->steps,
                           "table: comma, semicolon or tab separated, names in the first line");
            BindNarration(sub, options->narration);
            sub.add_option("--reviewer", options->narration.reviewer,
                           "code of the reviewer whose review gets it, in a case that is there");
            sub.add_option("--columns", options->columns,
                           "ROLE=COLUMN of the table: step, start, end, case, operator; COLUMN is a name or "
                           "a number from 1; a role that is not given is the column of its name, or of a "
                           "usual one (VideoID, Phase, FrameNo, Frames, FPS, Surgeon ...)")
                ->take_all();
            sub.add_option("--case-table", options->case_table,
                           "a second table with one line a case; a further column of either table that has "
                           "the name of a case's field (date, eye, difficulty ...) is that field, others "
                           "are kept as the case's own");
            sub.add_option("--case-columns", options->case_columns,
                           "its columns: case, total, rate, operator")
                ->take_all();
            sub.add_option("--name-table", options->name_table, "a third table that names the steps");
            sub.add_option("--name-columns", options->name_columns, "its columns: step, name")->take_all();
            sub.add_option("--unit", options->unit, "of start and end: frames (default) or seconds");
            sub.add_option("--rate", options->rate, "frames a second");
            sub.add_option("--total", options->total, "where the last step ends if it has no end of its own");
            sub.add_flag("--end-included", options->end_included,
                         "the end column names the last frame of the step");
            sub.add_option("--step", options->step_keys, "WORD=KEY: a word of the table is this step")
                ->take_all();
            sub.add_option("--set", options->fields, "FIELD=VALUE for every new case")->take_all();
            return [options] {
              const Status done = Import(*options);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
