// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/signing.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/told_history.hpp"
#include "app/cli/tag_options.hpp"
#include "app/common/console.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

Status Recognise(CaseSession& session, const std::string& word) {
  const auto recognised = FromWord<Recognition>(word);
  if (!recognised)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't read --recognised '{}': give no, perhaps or yes.", word)};
  AFTERSCOPE_ASSIGN(const EditGroup group,
                    NoteRecognition(session.record(), session.review().id, *recognised));
  return session.Commit(group);
}

Status Answer(CaseSession& session, const std::string& by, const std::string& text) {
  const ReviewAnswer answer{by, Today(), text};
  AFTERSCOPE_ASSIGN(const EditGroup group, AnswerReview(session.record(), session.review().id, answer));
  return session.Commit(group);
}

Status NextVersion(CaseSession& session) {
  AFTERSCOPE_ASSIGN(const ReviewId next, session.BeginNextVersion());
  Say("{}\n", next.value);
  return {};
}

}  // namespace

Result<int> CarryOutSigning(CaseSession& session, const TagOptions& options) {
  int done = 0;
  if (options.sign) {
    AFTERSCOPE_TRY(session.Sign(options.review.reviewer));
    ++done;
  }
  if (!options.recognised.empty()) {
    AFTERSCOPE_TRY(Recognise(session, options.recognised));
    ++done;
  }
  if (!options.answer.empty()) {
    AFTERSCOPE_TRY(Answer(session, options.answer_by, options.answer));
    ++done;
  }
  if (options.next_version) {
    AFTERSCOPE_TRY(NextVersion(session));
    ++done;
  }
  return done;
}

void PrintReviews(const CaseSession& session) {
  for (const ReviewSummary& review : session.Summaries())
    Say("{}\t{}\t{}{}{}\tversion {}\t{}\n", review.id.value, review.reviewer_code, WordOf(review.kind),
        review.is_self ? ", own view" : "",
        review.blinding == Blinding::kOpen ? "" : fmt::format(", blinding {}", WordOf(review.blinding)),
        review.version, review.is_signed ? "signed " + review.signed_at : "not signed");
}

Status PrintHistory(const CaseSession& session) {
  AFTERSCOPE_ASSIGN(const std::vector<ToldEntry> told,
                    ToldHistory(session.folder(), session.review().id, RealFileSystem()));
  for (const ToldEntry& entry : told)
    Say("{}\t{}\t{}\n", entry.time, entry.by.empty() ? "not said" : entry.by, entry.what);
  return {};
}

}  // namespace afterscope
