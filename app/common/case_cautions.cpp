// SPDX-License-Identifier: Apache-2.0
#include "app/common/case_cautions.hpp"

#include "annotate/store/fingerprint.hpp"
#include "app/common/console.hpp"

#include <fmt/format.h>

#include <cstdio>

namespace afterscope {

void TellHowItOpened(const CaseSession& session) {
  for (const std::string& caution : session.cautions()) Say(stderr, "{}\n", caution);
}

void TellCautions(const CaseSession& session) {
  TellHowItOpened(session);
  for (const RecordingRef& recording : session.record().recordings)
    if (const RecordingPlace place = FindRecording(session.folder(), recording); !place.message.empty())
      Say(stderr, "{}\n", place.message);
}

Status TellBeforeChange(const CaseSession& session) {
  AFTERSCOPE_TRY(session.Writable());
  TellCautions(session);
  return {};
}

void TellHiddenReviews(const CaseSession& session) {
  const std::vector<ReviewSummary> reviews = session.Summaries();
  for (const ReviewSummary& other : reviews)
    if (!MayBeShown(reviews, other.id, session.review().id) ||
        !MayBeShown(reviews, session.review().id, other.id))
      Say(stderr,
          "Reviews '{}' and '{}' of this case are hidden from each other until both are signed: keep this "
          "from the other's writer.\n",
          session.review().id.value, other.id.value);
}

void SaveCheckpointOrTell(CaseSession& session) {
  if (const Status saved = session.SaveCheckpoint(); !saved.ok())
    Say(stderr, "The change is kept in the journal; the readable copy beside it could not be renewed: {}\n",
        saved.error().message);
}

}  // namespace afterscope
