// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"

namespace afterscope {

// Says on standard error what the user should know of an open case: how it opened, and each recording that is
// missing, moved or different. Nothing where all is well.
void TellCautions(const CaseSession& session);

// Brings the readable JSON up to date. Where that fails, the changes are safe in the journal all the same: a
// caution.
void SaveCheckpointOrTell(CaseSession& session);

}  // namespace afterscope
