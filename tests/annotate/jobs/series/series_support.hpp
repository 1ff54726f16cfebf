// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/jobs/series/build_series.hpp"
#include "tests/support/temporary_folder.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A visit in seconds of a case without a recording, whose time base is a tenth of a second.
struct SecondsVisit {
  std::string step;
  double start = 0;
  double end = 0;
  std::string operator_code;
  bool taken_over = false;
};

struct TestCase {
  std::string code;
  std::string date;
  std::vector<SecondsVisit> visits;
  std::string operator_code = "T-1";
  std::vector<std::string> difficulty = {};
  std::vector<std::string> complications = {};  // keys, all at 1 s
  std::vector<Edit> fields = {};                // of the case
  bool is_checked = false;                      // a check was seen, so complications are known
};

// Cases in a fresh folder with an index beside them.
class TestSeries {
 public:
  // `index`: where it lies; empty: in a file beside the cases.
  explicit TestSeries(std::string index = {});
  void Add(const TestCase& entry);
  // Up to date with what was added.
  CaseIndex& Index();
  const std::string& folder() const { return cases_; }
  Result<SeriesModel> Build(SeriesOptions options = {});

 private:
  TemporaryFolder place_;
  std::string cases_;
  std::string index_path_;
  std::unique_ptr<CaseIndex> index_;
};

const SeriesMeasure& MeasureOf(const SeriesModel& model, const std::string& step);

// Whether one of its sentences holds the words; any blank will do for one that never parts.
bool Says(const SeriesMeasure& measure, const std::string& words);

// A day of January 2024.
std::string DateOf(int number);

}  // namespace afterscope
