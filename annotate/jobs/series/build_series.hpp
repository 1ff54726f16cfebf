// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "annotate/report/report_words.hpp"
#include "annotate/store/index/case_index.hpp"
#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The figures of the cases in or under `folder` (as IndexedFolder gives it) that pass the filter. Of each
// case one review counts: of those that pass, a signed one before an unsigned one, then the one changed last.
// A person's figures come from that person's own visits; with no operator chosen, from each case's operator.
// kNotComputable where no case passes, unless the options say that there may be none.
Result<SeriesModel> BuildSeries(CaseIndex& index, const std::string& folder, const SeriesOptions& options);

// What is known of the order of a measure's points.
struct SeriesOrder {
  std::vector<double> numbers;  // of each point its operator's case number; none where they are of several
  std::size_t undated = 0;      // points whose case has no date: then nothing can be said over time
};

// One figure from the values in `measure.points`: everything but groups.
void AnalyseMeasure(SeriesMeasure& measure, const SeriesOrder& order, double level);

// Groups, differences and percentile of a measure whose points are known.
void CompareGroups(SeriesMeasure& measure, const SeriesModel& model, const ReportWords& words);

// The sentences in `measure.said`, in the words "series.said.*".
void DescribeMeasure(SeriesMeasure& measure, const SeriesModel& model, const ReportWords& words);
// One sentence more for each step: what mostly follows it.
void DescribePassages(SeriesModel& model, const ReportWords& words);

// Complications, cumulative sums and case mix of a series whose cases and measures are known. `risks`: each
// case's own chance of a failure, where it was entered.
void AddOutcomes(SeriesModel& model, const std::vector<std::optional<double>>& risks,
                 const SeriesOptions& options, const ReportWords& words);
// The lines on complications, case mix and the ways from step to step.
void DescribeCases(SeriesModel& model, const ReportWords& words);
// What each cumulative sum says, and how it was designed, in the words "series.sum.*".
void DescribeSums(SeriesModel& model, const ReportWords& words);

}  // namespace afterscope
