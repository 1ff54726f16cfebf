// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"

namespace afterscope {

// Says on standard error what the user should know of how a case opened. Nothing where all is well.
void TellHowItOpened(const CaseSession& session);

// The same, and each recording that is missing, moved or different: for what can be done without it. What
// needs it fails with that sentence.
void TellCautions(const CaseSession& session);

// The same before a case is changed: where it is open only to be read it fails with that one sentence
// instead.
Status TellBeforeChange(const CaseSession& session);

// Says on standard error from whom what is printed of this review must be kept: the writers of reviews that
// are hidden from it until both are signed.
void TellHiddenReviews(const CaseSession& session);

// Brings the readable JSON up to date. Where that fails, the changes are safe in the journal all the same: a
// caution.
void SaveCheckpointOrTell(CaseSession& session);

}  // namespace afterscope
