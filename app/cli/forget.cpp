// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/forget.hpp"

#include "annotate/jobs/series/update_index.hpp"
#include "annotate/platform/user_folders.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/recent_list.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

struct ForgetCall {
  std::string folder;   // of the case to forget
  std::string overdue;  // folder of cases
  std::string index;
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

void PrintRecent(std::ptrdiff_t entries) {
  if (entries > 0) Say("  {}\t{} of the paths opened lately\n", WindowSettingsPath(), entries);
}

void PrintHowToDoIt() { Say("Nothing is removed yet. To remove it for good, add --yes.\n"); }

Status ForgetOnThisMachine(const ForgetCall& call) {
  AFTERSCOPE_ASSIGN(const Forgetting held, WhatUserHolds(UserCacheFolder(), call.index));
  const std::vector<std::string> recent = RecentPaths(WindowSettingsPath());
  if (held.goes.empty() && recent.empty()) {
    Say("Nothing is kept outside the cases.\n");
    return {};
  }
  Say("{} outside the cases, all of it made again when it is needed:\n", call.yes ? "Removed" : "Kept");
  Print(held.goes);
  PrintRecent(static_cast<std::ptrdiff_t>(recent.size()));
  if (!call.yes) {
    PrintHowToDoIt();
    return {};
  }
  AFTERSCOPE_TRY(Forget(held.goes));
  return ForgetRecent(WindowSettingsPath(), [](const std::string&) { return true; });
}

Status ForgetOneCase(const ForgetCall& call) {
  const std::string folder = Absolute(call.folder);
  AFTERSCOPE_ASSIGN(const Forgetting held, WhatCaseHolds(folder));
  AFTERSCOPE_ASSIGN(const std::vector<KeptItem> tables, TablesOfCase(folder, UserCacheFolder()));
  const auto of_case = [&](const std::string& path) { return IsIn(Absolute(path), folder); };
  const std::vector<std::string> recent = RecentPaths(WindowSettingsPath());
  if (call.yes) {
    // The folder last: while it is there, what was cut short can be asked for again.
    AFTERSCOPE_TRY(ForgetInIndex(call.index, folder));
    AFTERSCOPE_TRY(ForgetRecent(WindowSettingsPath(), of_case));
    AFTERSCOPE_TRY(Forget(tables));
    AFTERSCOPE_TRY(ForgetCase(folder, held));
  }
  Say("{} of {}:\n", call.yes ? "Removed" : "To be removed", folder);
  Print(held.goes);
  Print(tables);
  PrintRecent(std::count_if(recent.begin(), recent.end(), of_case));
  Say("  its rows in the index of cases, if it is there\n");
  for (const std::string& path : held.stays) Say("Stays: {}\n", path);
  Say("Recordings are never removed, and copies elsewhere (backups, clips, reports) are not reached.\n");
  if (!call.yes) PrintHowToDoIt();
  return {};
}

// Lists the cases with a consent whose date to delete by has passed.
Status ListOverdue(const std::string& folder) {
  std::vector<std::string> passed_over;
  AFTERSCOPE_ASSIGN(const std::vector<std::string> cases, FindCases(folder, passed_over));
  const std::string today = Today();
  bool any = false;
  for (const std::string& one : cases) {
    const auto session = CaseSession::Open(one, {{}, "", true});
    if (!session.ok()) {
      passed_over.push_back(session.error().message);
      continue;
    }
    for (const Consent& consent : (*session)->record().consent) {
      if (consent.delete_by.empty() || consent.delete_by >= today) continue;
      Say("{}\t{}\tto be deleted by {}\n", one, consent.purpose, consent.delete_by);
      any = true;
    }
  }
  if (!any) Say("Of no case that can be read has the date to delete by passed.\n");
  for (const std::string& sentence : passed_over) Say(stderr, "{}\n", sentence);
  return {};
}

Status Run(ForgetCall call) {
  if (!call.folder.empty() && !call.overdue.empty())
    return Error{ErrorCode::kBadCall, "Give a case to forget or a folder to look through, not both."};
  if (!call.overdue.empty()) return ListOverdue(call.overdue);
  if (call.index.empty()) call.index = DefaultIndexPath();
  return call.folder.empty() ? ForgetOnThisMachine(call) : ForgetOneCase(call);
}

}  // namespace

Command ForgetCommand() {
  return {"forget", "Removes what is kept outside the cases, or a case's record, once it was shown",
          [](CLI::App& sub) {
            auto call = std::make_shared<ForgetCall>();
            sub.add_option(
                "--case", call->folder,
                "a case: its record, reviews, report, clip plans, cache and rows in the index; its "
                "recordings stay");
            sub.add_option("--overdue", call->overdue,
                           "only lists the cases in a folder whose date to delete by has passed");
            sub.add_option("--index", call->index,
                           "file of the index, or postgresql://... (default: $AFTERSCOPE_INDEX, else in the "
                           "user's data folder)");
            sub.add_flag("--yes", call->yes, "removes for good what is only listed without this");
            return [call] {
              const Status done = Run(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
