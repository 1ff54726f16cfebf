// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/told_history.hpp"

#include "annotate/store/journal.hpp"
#include "annotate/store/review_folders.hpp"
#include "annotate/store/vouching.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>

namespace afterscope {
namespace {

// What an entry did; empty: nothing that a person did. `labels`: of the edits before it, by their entries.
std::string WhatWasDone(const JournalLine& line, const Json& json,
                        std::map<std::int64_t, std::string>& labels) {
  if (line.kind == "begin")
    return TextMember(json, "recovered").empty() ? "Begin" : "Begin again, what was before is lost";
  if (line.kind == "scrub") return json.value("entries", Json()).empty() ? "" : "Scrub";
  if (line.kind == "edits" || IsSigning(line)) return labels[line.entry] = TextMember(json, "label");
  if (line.kind != "undo" && line.kind != "redo") return {};
  const auto of = json.find("of");
  const bool known = of != json.end() && of->is_number_integer();
  return fmt::format("{}: {}", line.kind == "undo" ? "Undo" : "Redo",
                     known ? labels[of->get<std::int64_t>()] : "");
}

std::string WhoDid(const Json& json) {
  const auto state = json.find("state");
  return state != json.end() && state->is_object() ? TextMember(*state, "reviewer_code")
                                                   : TextMember(json, "by");
}

// `session_of`: only what was done in that review's sessions to the case, and scrubs; empty: all.
Status AddEntries(FileSystem& files, const std::string& folder, const std::string& session_of,
                  std::vector<ToldEntry>& told) {
  AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(folder + "/journal", kMostJournalBytes));
  std::map<std::int64_t, std::string> labels;
  for (const JournalLine& line : ReadJournal(bytes).lines) {
    const Json json = Json::parse(line.text);
    std::string what = WhatWasDone(line, json, labels);
    if (what.empty()) continue;
    if (!session_of.empty() && line.kind == "scrub")
      what = "Scrub the case's fields";
    else if (!session_of.empty() && TextMember(json, "review") != session_of)
      continue;
    told.push_back({line.order, TextMember(json, "time"), WhoDid(json), what});
  }
  return {};
}

}  // namespace

Result<std::vector<ToldEntry>> ToldHistory(const std::string& case_folder, const ReviewId& review,
                                           FileSystem& files) {
  std::vector<ToldEntry> told;
  AFTERSCOPE_TRY(AddEntries(files, ReviewFolder(case_folder, review), "", told));
  AFTERSCOPE_TRY(AddEntries(files, case_folder, review.value, told));
  std::stable_sort(told.begin(), told.end(),
                   [](const ToldEntry& a, const ToldEntry& b) { return a.order < b.order; });
  return told;
}

}  // namespace afterscope
