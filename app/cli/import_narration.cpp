// SPDX-License-Identifier: Apache-2.0
#include "app/cli/import_narration.hpp"

#include "annotate/case/words.hpp"
#include "annotate/narration/narration_edits.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 16LL << 20;

Result<NarrationRules> Rules(const std::string& language, const TimedText& text) {
  const std::string folder = AssetsFolder() + "/narration";
  if (!language.empty() && language.find('/') == std::string::npos && language.find('.') == std::string::npos)
    return LoadNarrationRules(fmt::format("{}/{}.json", folder, language));
  if (!language.empty()) return LoadNarrationRules(language);
  AFTERSCOPE_ASSIGN(const std::vector<NarrationRules> all, LoadAllNarrationRules(folder));
  std::string words;
  for (const Cue& cue : text.cues) words += cue.text + " ";
  return RulesForText(all, words);
}

void Print(const Review& review, const CaseClock& clock) {
  for (const Draft& draft : review.drafts)
    if (draft.state == DraftState::kOpen)
      fmt::print("{}\t{}\t{}\t{}\t{:.2f}\n", draft.id.value, ReadableTime(clock.Seconds(draft.start)),
                 WordOf(draft.kind), draft.key, draft.confidence);
}

}  // namespace

void BindNarration(CLI::App& sub, ImportNarrationOptions& options) {
  sub.add_option(
      "--narration", options.file,
      "what was said: WebVTT, SubRip, or lines that start with a time; it becomes captions and drafts");
  sub.add_option(
      "--language", options.language,
      "of the narration: a language of assets/narration (en, es), or a file of rules; else it is told "
      "from the words");
  sub.add_option("--offset", options.offset, "seconds to add to the narration's times");
  sub.add_option("--review", options.review, "the review that gets the narration");
  sub.add_flag("--captions-only", options.captions_only, "make no drafts");
}

Status ImportNarration(const std::string& folder, const ImportNarrationOptions& options) {
  AFTERSCOPE_ASSIGN(const std::string bytes, RealFileSystem().ReadAll(options.file, kMostBytes));
  NarrationInput input;
  auto text = ReadTimedText(bytes);
  if (!text.ok()) return Error{text.error().code, fmt::format("{} ({})", text.error().message, options.file)};
  input.text = std::move(*text);
  for (const std::string& caution : input.text.cautions)
    fmt::print(stderr, "{}: {}\n", options.file, caution);
  OpenCaseOptions open;
  if (!options.review.empty()) open.review = ReviewId{options.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
  TellCautions(*session);
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(session->record(), folder, AssetsFolder()));
  AFTERSCOPE_ASSIGN(const NarrationRules rules, Rules(options.language, input.text));
  AFTERSCOPE_ASSIGN(input.usual, LoadSettingRanges(AssetsFolder() + "/settings.json"));
  if (!options.captions_only) {
    input.rules = &rules;
    input.list = &list;
  }
  input.offset = options.offset;
  const CaseClock clock(session->record().recordings);
  int left_out = 0;
  const EditGroup group = NarrationEdits(
      input, session->review(), clock,
      {[&] { return session->NewCaptionId(); }, [&] { return session->NewDraftId(); }}, left_out);
  if (left_out == static_cast<int>(input.text.cues.size()))
    return Error{ErrorCode::kNotComputable,
                 fmt::format("None of '{}' lies within the case, which lasts {}; see --offset.", options.file,
                             ReadableTime(clock.TotalSeconds()))};
  if (left_out > 0) fmt::print(stderr, "{} captions lie outside the case and are left out.\n", left_out);
  AFTERSCOPE_TRY(session->Commit(group));
  SaveCheckpointOrTell(*session);
  Print(session->review(), clock);
  return {};
}

}  // namespace afterscope
