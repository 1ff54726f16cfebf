// SPDX-License-Identifier: Apache-2.0
#include "tests/fuzz/targets.hpp"

#include "annotate/case/edit.hpp"
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/exchange/delimited_text.hpp"
#include "annotate/exchange/step_table.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/narration/rules.hpp"
#include "annotate/narration/spoken_drafts.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/edit_json.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/review_json.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/seal_check.hpp"
#include "annotate/store/step_list_file.hpp"
#include "tests/fuzz/file_targets.hpp"
#include "tests/fuzz/media_target.hpp"
#include "tests/fuzz/one_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>

namespace afterscope {
namespace {

void ReadCase(std::string_view bytes) {
  const auto json = ParseJson(bytes, "a case");
  if (!json.ok()) return;
  const auto record = CaseRecordFrom(*json, "a case");
  if (!record.ok()) return;
  const auto again = CaseRecordFrom(JsonFrom(*record), "a case");
  Demand(again.ok() && *again == *record, "A case that was read is not read again as the same.");
}

void ReadReview(std::string_view bytes) {
  const auto json = ParseJson(bytes, "a review");
  if (!json.ok()) return;
  const auto review = ReviewFrom(*json, "a review");
  if (!review.ok()) return;
  const auto again = ReviewFrom(JsonFrom(*review), "a review");
  Demand(again.ok() && *again == *review, "A review that was read is not read again as the same.");
}

// Edits from outside are applied to a case, and taken back.
void ReadEdits(std::string_view bytes) {
  const auto json = ParseJson(bytes, "edits");
  if (!json.ok()) return;
  const auto groups = EditGroupsFrom(*json, "edits");
  if (!groups.ok()) return;
  CaseRecord record;
  RecordingRef recording;
  recording.shape.end = Pts{100'000};
  recording.shape.width = 1920;
  recording.shape.height = 1080;
  record.recordings = {recording};
  Review review;
  for (const EditGroup& group : *groups) {
    const CaseRecord record_before = record;
    const Review review_before = review;
    const auto inverse = ApplyEdits(group, record, review);
    if (!inverse.ok()) {
      Demand(record == record_before && review == review_before,
             "A group that was refused changed something.");
      continue;
    }
    CaseRecord record_back = record;
    Review review_back = review;
    Demand(ReapplyEdits(*inverse, record_back, review_back).ok() && record_back == record_before &&
               review_back == review_before,
           "What was applied can't be taken back.");
  }
}

void ReadJournalLines(std::string_view bytes) {
  const JournalContent content = ReadJournal(bytes);
  Demand(content.good_bytes + content.dropped_bytes == static_cast<std::int64_t>(bytes.size()),
         "Bytes of a journal are neither good nor dropped.");
}

// A case folder's only review, with this journal.
class OneReview final : public OneText {
 public:
  using OneText::OneText;
  Result<FileInfo> Stat(const std::string& path) override {
    return path.ends_with("/r1") ? FileInfo{FileType::kDirectory, 0, 0} : OneText::Stat(path);
  }
  Result<std::vector<std::string>> List(const std::string&) override {
    return std::vector<std::string>{"r1"};
  }
};

// The lines as a journal that is whole: whoever writes one can make its chain.
std::string Chained(std::string_view bytes) {
  std::string chained;
  std::string previous;
  std::int64_t entry = 0;
  while (!bytes.empty()) {
    const std::size_t end = std::min(bytes.find('\n'), bytes.size());
    auto json = ParseJson(bytes.substr(0, end), "a line");
    bytes.remove_prefix(std::min(end + 1, bytes.size()));
    if (!json.ok() || !json->is_object()) continue;
    (*json)["entry"] = ++entry;
    (*json)["previous"] = previous;
    const std::string text = CompactText(*json);
    previous = Sha256Hex(text);
    chained += fmt::format("{} {}\n", previous, text);
  }
  return chained;
}

void ReplayHistory(std::string_view bytes) {
  const std::string journal = Chained(bytes);
  OneReview files(journal);
  for (const DocumentKind kind : {DocumentKind::kCase, DocumentKind::kReview})
    static_cast<void>(Document::Replays(files, kind, journal));
  static_cast<void>(CheckSeals("case", CaseRecord(), files));
}

void ReadStepTable(std::string_view bytes) {
  const auto table = ReadDelimited(bytes, "a table");
  if (!table.ok()) return;
  for (const auto& row : table->rows)
    Demand(row.size() <= table->header.size(), "A row has more cells than the header.");
  StepTableOptions options;
  options.rate = Rational{25, 1};
  const auto cases = CasesFromTables(*table, nullptr, nullptr, options, {});
  if (!cases.ok()) return;
  for (const TableCase& one : *cases) {
    const RecordingRef recording = RecordingFor(one, options.unit);
    Demand(recording.shape.time_base.valid(), "A table's recording has no time base.");
    for (const TableStep& step : one.steps)
      static_cast<void>(TicksFor(step.start, options.unit, recording.shape.time_base));
  }
}

void ReadNarration(std::string_view bytes) {
  const auto text = ReadTimedText(bytes);
  if (!text.ok()) return;
  const auto again = ReadTimedText(WriteWebVtt(text->cues));
  Demand(text->cues.empty() || again.ok(), "Captions that were written can't be read.");
  static_cast<void>(WriteSubRip(text->cues));
}

void ReadScoreSheet(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadScoreSheetFile("sheet.json", files));
}

void ReadStepList(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadStepListFile("list.json", files));
}

void ReadClipPlan(std::string_view bytes) {
  OneText files(bytes);
  static_cast<void>(LoadClipPlan("case", "plan", files));
}

void ReadNarrationRules(std::string_view bytes) {
  OneText files(bytes);
  const auto rules = LoadNarrationRules("rules.json", files);
  if (!rules.ok()) return;
  const TimedText talk{{{0, 5, "Now the rhexis, vacuum four hundred."}, {5, {}, "Done."}}, {}};
  StepList list;
  list.steps.push_back({"rhexis", "Rhexis", "r", false});
  static_cast<void>(DraftsFrom(talk, *rules, list, {}));
}

constexpr FuzzTarget kTargets[] = {
    {"case", ReadCase},
    {"review", ReadReview},
    {"edits", ReadEdits},
    {"journal", ReadJournalLines},
    {"history", ReplayHistory},
    {"step_table", ReadStepTable},
    {"narration", ReadNarration},
    {"score_sheet", ReadScoreSheet},
    {"step_list", ReadStepList},
    {"clip_plan", ReadClipPlan},
    {"narration_rules", ReadNarrationRules},
    {"carried", ReadCarried},
    {"finding_cache", ReadFindings},
    {"followed", ReadFollowed},
    {"helper_message", ReadHelperMessage},
    {"outcomes", ReadOutcomes},
    {"series_plan", ReadSeriesPlan},
    {"shown_text", ShowText},
    {"small_pictures", ReadSmallPictures},
    {"voice_takes", ReadVoiceTakes},
    {"media", ReadMedia, 100},  // a hundredth of a second each
};

}  // namespace

std::span<const FuzzTarget> FuzzTargets() { return kTargets; }

}  // namespace afterscope
