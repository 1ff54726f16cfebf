// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/score/agree_reviews.hpp"

#include <nlohmann/json_fwd.hpp>

namespace afterscope {

// Agreement as JSON: timelines, scores, icc, values, repeated, cautions. What can't be computed is null, with
// the reason beside it in "..._reason".
nlohmann::ordered_json JsonFromAgreement(const AgreementModel& model);

}  // namespace afterscope
