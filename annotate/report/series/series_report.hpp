// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/document/sheet_document.hpp"
#include "annotate/report/report_words.hpp"

#include <initializer_list>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// A text "series.KEY" of the report words, with values in place of its braces.
std::string SeriesText(const ReportWords& words, const std::string& key,
                       std::initializer_list<std::string> values = {});

// Step times and findings across cases as a document: all figures, their charts with words, complications
// with limits and cumulative sums, case mix, the way from step to step, cautions and methods.
SheetDocument SeriesReport(const SeriesModel& model, const ReportWords& words);

// Its sections, for other reports over many cases.
std::vector<std::pair<std::string, std::string>> SeriesFacts(const SeriesModel& model,
                                                             const ReportWords& words);
DocumentSection FiguresSection(const SeriesModel& model, const ReportWords& words);
DocumentSection ChartsSection(const SeriesModel& model, const ReportWords& words);
DocumentSection ComplicationsSection(const SeriesModel& model, const ReportWords& words);
DocumentSection CaseMixSection(const SeriesModel& model, const ReportWords& words);
DocumentSection CautionsSection(const SeriesModel& model, const ReportWords& words);
DocumentSection MethodSection(const SeriesModel& model, const ReportWords& words);

// How many cases there are, and from when to when.
std::string CasesAndPeriod(const SeriesModel& model, const ReportWords& words);

}  // namespace afterscope
