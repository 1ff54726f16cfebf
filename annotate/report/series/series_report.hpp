// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/document/sheet_document.hpp"

namespace afterscope {

// The report of a series: what was looked at, one table of all figures, a chart and its words for each,
// complications with their sums, case mix, passages between steps, methods and cautions.
SheetDocument SeriesReport(const SeriesModel& model);

// The parts that other reports over many cases use too.
DocumentSection FiguresSection(const SeriesModel& model);
DocumentSection ChartsSection(const SeriesModel& model);
DocumentSection ComplicationsSection(const SeriesModel& model);
DocumentSection CaseMixSection(const SeriesModel& model);
DocumentSection CautionsSection(const SeriesModel& model);
// "12 cases, 2024-01-02 to 2024-06-30", and what the filter was.
std::vector<std::pair<std::string, std::string>> SeriesFacts(const SeriesModel& model);

// "12, 2024-01-02 to 2024-06-30"; without dates the number alone.
std::string CasesAndPeriod(const SeriesModel& model);

extern const char* const kSeriesFooter;

}  // namespace afterscope
