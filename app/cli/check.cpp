// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/exchange/carried_data.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>
#include <utility>

namespace afterscope {
namespace {

using nlohmann::ordered_json;

struct CheckOptions {
  std::string folder;
  std::string sharing;
  bool full = false;
  bool json = false;
};

const char* WordFor(const RecordingCheck& recording) {
  switch (recording.state) {
    case RecordingState::kThere:
      return recording.verified ? "verified" : "same file (sampled)";
    case RecordingState::kMoved:
      return recording.verified ? "moved, verified" : "moved, same file (sampled)";
    case RecordingState::kMissing:
      return "missing";
    case RecordingState::kDifferent:
      return "different";
    case RecordingState::kNotAtHand:
      return "none at hand";
  }
  return "";
}

ordered_json JsonOf(const CaseCheck& check) {
  ordered_json recordings = ordered_json::array();
  for (const RecordingCheck& recording : check.recordings)
    recordings.push_back({{"path", recording.path}, {"state", WordFor(recording)}});
  return {{"case", check.folder},     {"whole", check.wrong.empty()}, {"reviews", check.reviews},
          {"recordings", recordings}, {"wrong", check.wrong},         {"notes", check.notes}};
}

void Print(const CaseCheck& check) {
  Say("{}\t{}\t{} reviews\n", check.folder, check.wrong.empty() ? "whole" : "not whole", check.reviews);
  for (const RecordingCheck& recording : check.recordings)
    Say("  recording\t{}\t{}\n", recording.path.empty() ? "(times only)" : recording.path,
        WordFor(recording));
  for (const std::string& sentence : check.wrong) Say("  wrong\t{}\n", sentence);
  for (const std::string& sentence : check.notes) Say("  note\t{}\n", sentence);
}

// The digest of a recording that a whole case does not know yet is noted, so that the next full check has one
// to compare.
Status NoteDigests(const CaseCheck& check) {
  if (!check.wrong.empty()) return {};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(check.folder, {}));
  std::vector<RecordingRef> recordings = session->record().recordings;
  bool learned = false;
  for (std::size_t i = 0; i < std::min(recordings.size(), check.recordings.size()); ++i) {
    const std::string& digest = check.recordings[i].full_sha256;
    if (digest.empty() || !recordings[i].fingerprint.full_sha256.empty()) continue;
    recordings[i].fingerprint.full_sha256 = digest;
    learned = true;
  }
  if (!learned || session->read_only()) return {};
  AFTERSCOPE_TRY(session->CommitFacts({"Digest of the whole file", {SetRecordings{recordings}}}));
  return session->SaveCheckpoint();
}

// What a file to be shared still carries.
int RunSharing(const CheckOptions& options) {
  const auto carried = WhatFileCarries(options.sharing);
  if (!carried.ok()) return Failed(carried.error());
  if (options.json) {
    ordered_json items = ordered_json::array();
    for (const CarriedItem& item : carried->items)
      items.push_back({{"where", item.where}, {"what", item.what}, {"harmless", item.harmless}});
    const ordered_json all{
        {"file", options.sharing}, {"kind", carried->kind}, {"clean", carried->Clean()}, {"items", items}};
    ShowJson(all.dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n");
  } else {
    Say("{}\t{}\t{}\n", options.sharing, carried->kind, carried->Clean() ? "clean" : "not clean");
    for (const CarriedItem& item : carried->items)
      Say("  {}\t{}\t{}\n", item.harmless ? "harmless" : "carries", item.where, item.what);
    Say("What is seen in the pictures and heard in the sound is for you to check.\n");
  }
  return carried->Clean() ? 0 : 1;
}

int RunCheck(const CheckOptions& options) {
  if (options.sharing.empty() == options.folder.empty())
    return Failed({ErrorCode::kBadCall, "Give a case or folder to check, or --sharing with one file."});
  if (!options.sharing.empty()) return RunSharing(options);
  std::vector<std::string> passed_over;
  const auto cases = FindCases(options.folder, passed_over);
  if (!cases.ok()) return Failed(cases.error());
  for (const std::string& sentence : passed_over) Say(stderr, "{}\n", sentence);
  if (cases->empty())
    return Failed({ErrorCode::kUnreadable,
                   fmt::format("Can't check '{}': there is no case at or under it{}.", options.folder,
                               passed_over.empty() ? "" : " in the folders that can be read")});
  ordered_json all = ordered_json::array();
  bool wrong = !passed_over.empty();
  for (const std::string& folder : *cases) {
    CaseCheck check = CheckCase(folder, options.full, ConsoleProgress("Reading " + folder), ConsoleStop());
    for (std::string& sentence : CheckTakes(folder)) check.wrong.push_back(std::move(sentence));
    for (std::string& sentence : CheckClipPlans(folder)) check.wrong.push_back(std::move(sentence));
    if (ConsoleStop()()) return Failed({ErrorCode::kStopped, "Stopped before all cases were checked."});
    wrong = wrong || !check.wrong.empty();
    // Nothing was wrong; that the digest could not be noted (a folder that is only readable) is no fault of
    // the case.
    if (options.full) static_cast<void>(NoteDigests(check));
    if (options.json)
      all.push_back(JsonOf(check));
    else
      Print(check);
  }
  if (options.json) ShowJson(all.dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n");
  return wrong ? 1 : 0;
}

}  // namespace

Command CheckCommand() {
  return {
      "check",
      "Says whether cases, their recordings and their records are whole, or what a shared file carries",
      [](CLI::App& sub) {
        auto options = std::make_shared<CheckOptions>();
        sub.add_option("DIR", options->folder, "a case, or a folder of cases");
        sub.add_option("--sharing", options->sharing,
                       "a file that is to be shared (MP4, WebM, PNG, JPEG, PDF, HTML, WebVTT, SubRip, JSON, "
                       "CSV): what it "
                       "still carries");
        sub.add_flag(
            "--full", options->full,
            "read recordings to their ends: verified instead of sampled; a digest not known yet is noted in "
            "the case");
        sub.add_flag("--json", options->json, "as JSON");
        return [options] { return RunCheck(*options); };
      }};
}

}  // namespace afterscope
