// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"

#include <nlohmann/json_fwd.hpp>

#include <string>

namespace afterscope {

// A series as JSON: folder, filter, by, cases, operators, groups, measures, passages, take_overs,
// complications, cusums, strata, cautions. What can't be computed is null, with the reason beside it in
// "reason".
nlohmann::ordered_json JsonFromSeries(const SeriesModel& model);

// One JSON object a line for each value of each measure: case, date, operator, group, number, measure, step,
// unit, value, low, high, recording, ticks, folder.
std::string JsonLinesFromSeries(const SeriesModel& model);

// The same as a table after RFC 4180 under a header line, texts guarded against spreadsheets' formulas.
std::string CsvFromSeries(const SeriesModel& model);

}  // namespace afterscope
