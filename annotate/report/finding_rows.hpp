// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/frame_text.hpp"
#include "annotate/report/report_model.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Findings as a table shows them: cautions once below it with a raised number at each finding that they
// belong to, and what could not be computed together by its reason.
struct FindingRows {
  struct Row {
    const ReportFinding* finding = nullptr;
    FindingText text;
    std::string label;  // with the raised numbers
  };
  std::vector<Row> rows;
  std::vector<std::string> notes;    // "¹ ..." in order
  std::vector<std::string> missing;  // "Not computed: ..."
};

// `with_notes` false: no cautions, as where the same findings stand again in full.
FindingRows RowsOf(const ReportModel& model, const std::vector<ReportFinding>& findings, bool with_notes);

}  // namespace afterscope
