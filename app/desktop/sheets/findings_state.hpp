// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "annotate/jobs/measure/tip_map.hpp"
#include "app/common/job_runner.hpp"
#include "app/desktop/look/finding_text.hpp"
#include "app/desktop/sheets/text_field.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

struct FindingsState {
  std::vector<Finding> findings;
  std::vector<TipMap> tip_maps;
  std::uint64_t revision = 0;        // of the case that was last taken up
  std::uint64_t shown_revision = 0;  // of the case that the findings were computed from
  bool refine = false;               // the full limits are still to be computed
  bool refined = false;              // what is shown has them
  JobHandle measuring;               // quickly; null: nothing is being computed
  JobHandle refining;                // with full limits
  FindingLabels labels;
  std::string card;           // of the finding that is opened; empty: none
  JobHandle following;        // of the eye or a tip; null: none yet
  bool eye_followed = false;  // through the whole case: nothing is left to follow
  JobHandle reporting;
  std::string report_path;    // the report that was written last
  bool words_open = false;    // the reviewer's words of page 1 are being typed
  bool words_wanted = false;  // their first field gets the keys
  TypedTexts typed;
};

}  // namespace afterscope
