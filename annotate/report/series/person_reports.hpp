// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_logbook.hpp"
#include "annotate/report/series/series_report.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A goal that a review agreed on, and what the next review of the same person said became of it.
struct AgreedGoal {
  std::string date, code;  // of the case in whose review it was agreed
  std::string drill;
  std::string by;       // date; may be empty
  std::string outcome;  // "met", "partly met", "not met"; empty: nobody has said yet
};

// A moment worth showing, with its picture where the recording is at hand.
struct ShownMoment {
  std::string date, code;
  std::string kind;  // complication, teaching point, remark ...
  std::string title;
  std::string words;
  std::string score;  // of which it is evidence, "ITEM: LEVEL"; may be empty
  std::string place;  // on the case clock
  std::optional<ReportPicture> picture;
};

struct ReviewWords {
  std::string date, code;
  std::vector<std::string> strengths;
  std::string change;
};

// What is known of one person besides the series' figures.
struct PersonRecord {
  std::string code;
  std::vector<AgreedGoal> goals;                   // in order of date
  std::vector<ReviewWords> words;                  // of the latest reviews, the latest first
  std::vector<ShownMoment> best;                   // evidence of the best scores
  std::vector<ShownMoment> moments;                // to learn from
  std::vector<LogbookEntry> logbook;               // in order of date
  std::vector<std::vector<std::string>> outcomes;  // rows of name, cases, middle, range
};

// The progress of one trainee: words, goals and the next goal first, the best moments and those to learn from
// with pictures, then scores and step times over the cases, complications.
SheetDocument ProgressReport(const SeriesModel& model, const PersonRecord& person, const ReportWords& words);

// A surgeon's own audit: numbers by year and part, case mix, complications with limits and sums, outcomes,
// step times.
SheetDocument PortfolioReport(const SeriesModel& model, const PersonRecord& person, const ReportWords& words);

}  // namespace afterscope
