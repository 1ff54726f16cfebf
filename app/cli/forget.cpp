// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/forget.hpp"

#include "annotate/case/consent.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "annotate/platform/user_folders.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"
#include "annotate/store/json_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/recent_list.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

struct ForgetCall {
  std::string folder;   // of the case to forget
  std::string overdue;  // folder of cases
  std::string index;
  std::string json;  // of what is overdue
  bool yes = false;
};

std::string Absolute(const std::string& path) {
  std::error_code problem;
  const fs::path whole = fs::weakly_canonical(path, problem);
  return problem ? path : whole.string();
}

bool IsIn(const std::string& path, const std::string& folder) {
  return path == folder || path.starts_with(folder + "/");
}

void Print(const std::vector<KeptItem>& items) {
  for (const KeptItem& item : items) Say("  {}\t{}\t{} bytes\n", item.path, item.what, item.bytes);
}

void PrintRecent(const std::vector<std::string>& paths) {
  for (const std::string& path : paths)
    Say("  {}\tthe path {} in the window's settings\n", WindowSettingsPath(), path);
}

void PrintHowToDoIt() { Say("Nothing is removed yet. To remove it for good, add --yes.\n"); }

Status ForgetOnThisMachine(const ForgetCall& call) {
  std::vector<std::string> indexes = IndexesAtHand(call.index);
  const bool in_database = std::erase_if(indexes, IsPostgresAddress) > 0;
  AFTERSCOPE_ASSIGN(const Forgetting held, WhatUserHolds(UserCacheFolder(), indexes));
  const std::vector<std::string> recent = RecentPaths(WindowSettingsPath());
  if (in_database)
    Say("The PostgreSQL database that is named for the index keeps its rows of cases: forget --case takes "
        "those of one case out of it.\n");
  if (held.goes.empty() && recent.empty()) {
    Say("Nothing is kept outside the cases{}.\n", in_database ? " on this machine" : "");
    return {};
  }
  Say("{} outside the cases, all of it made again when it is needed:\n", call.yes ? "Removed" : "Kept");
  Print(held.goes);
  PrintRecent(recent);
  if (!call.yes) {
    PrintHowToDoIt();
    return {};
  }
  AFTERSCOPE_TRY(Forget(held.goes));
  return ForgetRecent(WindowSettingsPath(), [](const std::string&) { return true; });
}

struct RecordingPaths {
  std::set<std::string> paths;  // where they are, and where the case says that they are
  bool missing = false;         // one is not found
};

RecordingPaths PathsOfRecordings(const std::string& folder) {
  RecordingPaths of_case;
  const auto session = CaseSession::Open(folder, {{}, "", true});
  if (!session.ok()) return of_case;  // a record that can't be read names no recording
  for (const RecordingRef& recording : (*session)->record().recordings) {
    if (recording.path.empty()) continue;
    of_case.paths.insert(Absolute(folder + "/" + recording.path));
    const std::string found = FindRecording(folder, recording).path;
    if (found.empty())
      of_case.missing = true;
    else
      of_case.paths.insert(Absolute(found));
  }
  return of_case;
}

Status ForgetOneCase(const ForgetCall& call) {
  const std::string folder = Absolute(call.folder);
  AFTERSCOPE_ASSIGN(const Forgetting held, WhatCaseHolds(folder));
  AFTERSCOPE_ASSIGN(const std::vector<KeptItem> tables, TablesOfCase(folder, UserCacheFolder()));
  const RecordingPaths recordings = PathsOfRecordings(folder);
  const auto of_case = [&](const std::string& path) {
    const std::string whole = Absolute(path);
    return IsIn(whole, folder) || recordings.paths.contains(whole);
  };
  std::vector<std::string> recent = RecentPaths(WindowSettingsPath());
  std::erase_if(recent, [&](const std::string& path) { return !of_case(path); });
  int stale = 0;
  const auto outside = [&]() -> Status {
    for (const std::string& index : IndexesAtHand(call.index)) {
      AFTERSCOPE_ASSIGN(const int more, ForgetInIndex(index, folder));
      stale += more;
    }
    AFTERSCOPE_TRY(ForgetRecent(WindowSettingsPath(), of_case));
    return Forget(tables);
  };
  if (call.yes) AFTERSCOPE_TRY(ForgetCase(folder, held, outside));
  Say("{} of {}:\n", call.yes ? "Removed" : "To be removed", folder);
  Print(held.goes);
  Print(tables);
  PrintRecent(recent);
  Say("  its rows in the index of cases, if it is there, and those of cases that are gone or have changed "
      "since (they may be of this one under an earlier name){}\n",
      stale > 0 ? fmt::format(": of {} others", stale) : "");
  if (recordings.missing)
    Say("The frame table of a recording that is not there can't be told from others (numbers, no name): "
        "forget without --case removes all of them.\n");
  for (const std::string& path : held.stays) Say("Stays: {}\n", path);
  Say("Recordings are never removed, and copies elsewhere (backups, clips, reports) are not reached.\n");
  if (!call.yes) PrintHowToDoIt();
  return {};
}

// Lists the cases with a consent whose date to delete by has passed; false: not all could be looked at.
Result<bool> ListOverdue(const std::string& folder, const std::string& json) {
  std::vector<std::string> passed_over;
  std::vector<std::string> too_deep;
  AFTERSCOPE_ASSIGN(const std::vector<std::string> cases,
                    FindCases(folder, passed_over, RealFileSystem(), &too_deep));
  const std::string today = Today();
  Json overdue = Json::array();
  for (const std::string& one : cases) {
    const auto session = CaseSession::Open(one, {{}, "", true});
    if (!session.ok()) {
      passed_over.push_back(session.error().message);
      continue;
    }
    for (const Consent& consent : (*session)->record().consent) {
      if (!IsToBeDeleted(consent, today)) continue;
      overdue.push_back({{"folder", one}, {"purpose", consent.purpose}, {"delete_by", consent.delete_by}});
      if (json.empty()) Say("{}\t{}\tto be deleted by {}\n", one, consent.purpose, consent.delete_by);
    }
  }
  if (!json.empty()) AFTERSCOPE_TRY(WriteJsonOutput(json, ReadableText(overdue)));
  if (json.empty() && overdue.empty()) Say("Of no case that can be read has the date to delete by passed.\n");
  if (!too_deep.empty())
    passed_over.push_back(
        fmt::format("{} folders more than four levels under '{}' were not looked into, the first is '{}': "
                    "give a folder nearer to them.",
                    too_deep.size(), folder, too_deep.front()));
  for (const std::string& sentence : passed_over) Say(stderr, "{}\n", sentence);
  return passed_over.empty();
}

// Else a script whose variable is empty would forget everything.
std::string IsGiven(const std::string& folder) { return folder.empty() ? "give a folder" : ""; }

// Whether all of it was done.
Result<bool> Run(const ForgetCall& call) {
  if (!call.folder.empty() && !call.overdue.empty())
    return Error{ErrorCode::kBadCall, "Give a case to forget or a folder to look through, not both."};
  if (!call.json.empty() && call.overdue.empty())
    return Error{ErrorCode::kBadCall, "--json writes what --overdue lists: give both."};
  if (!call.overdue.empty()) return ListOverdue(call.overdue, call.json);
  AFTERSCOPE_TRY(call.folder.empty() ? ForgetOnThisMachine(call) : ForgetOneCase(call));
  return true;
}

}  // namespace

Command ForgetCommand() {
  return {"forget", "Removes what is kept outside the cases, or a case's record, once it was shown",
          [](CLI::App& sub) {
            auto call = std::make_shared<ForgetCall>();
            sub.add_option(
                   "--case", call->folder,
                   "a case: its record, reviews, report, clip plans, cache and rows in the index; its "
                   "recordings stay")
                ->check(IsGiven);
            sub.add_option("--overdue", call->overdue,
                           "only lists the cases in a folder whose date to delete by has passed")
                ->check(IsGiven);
            sub.add_option("--index", call->index,
                           "file of the index, or postgresql://... (default: $AFTERSCOPE_INDEX); the "
                           "index in the user's data folder is looked at in any case");
            sub.add_option("--json", call->json, "file for what is overdue as JSON, - for standard output");
            sub.add_flag("--yes", call->yes, "removes for good what is only listed without this");
            return [call] {
              const Result<bool> done = Run(*call);
              if (!done.ok()) return Failed(done.error());
              return *done ? 0 : 1;
            };
          }};
}

}  // namespace afterscope
