// SPDX-License-Identifier: Apache-2.0
#include "app/cli/import_narration.hpp"

#include "annotate/case/words.hpp"
#include "annotate/narration/narration_edits.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/narration_file.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

void Print(const Review& review, const CaseClock& clock) {
  bool any = false;
  for (const Draft& draft : review.drafts) {
    if (draft.state != DraftState::kOpen) continue;
    Say("{}\t{}\t{}\t{}\t{:.2f}\n", draft.id.value, ReadableTime(clock.Seconds(draft.start)),
        WordOf(draft.kind), draft.key, draft.confidence);
    any = true;
  }
  if (!any) Say("The captions are in; none of them suggests a draft.\n");
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
  sub.add_option("--offset", options.offset, "seconds to add to the narration's times")->check(AnyNumber());
  sub.add_option("--review", options.review, "the review that gets the narration");
  sub.add_flag("--captions-only", options.captions_only, "make no drafts");
}

Status ImportNarration(const std::string& folder, const ImportNarrationOptions& options) {
  AFTERSCOPE_ASSIGN(NarrationFile narration, ReadNarrationFile(options.file, options.language));
  NarrationInput input;
  input.text = std::move(narration.text);
  for (const std::string& caution : input.text.cautions) Say(stderr, "{}: {}\n", options.file, caution);
  OpenCaseOptions open;
  if (!options.review.empty()) open.review = ReviewId{options.review};
  open.reviewer_code = options.reviewer;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
  AFTERSCOPE_TRY(TellBeforeChange(*session));
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(session->record(), folder, AssetsFolder()));
  input.usual = std::move(narration.usual);
  if (!options.captions_only) {
    input.rules = &narration.rules;
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
  if (left_out > 0) Say(stderr, "{} captions lie outside the case and are left out.\n", left_out);
  AFTERSCOPE_TRY(session->Commit(group));
  SaveCheckpointOrTell(*session);
  if (!options.captions_only) Print(session->review(), clock);
  return {};
}

}  // namespace afterscope
