// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/plan_change.hpp"
#include "annotate/jobs/series/series_options.hpp"
#include "app/desktop/look/look.hpp"
#include "app/desktop/sheets/text_field.hpp"

#include <string>

namespace afterscope {

// Which cases the sheet of series looks at, besides whose, what they are compared by, and how its cumulative
// sums are designed.
struct SeriesChoice {
  SeriesFilter filter;
  std::string by;         // as SeriesOptions::by
  std::string reference;  // the group that others are compared with
  PlanChange change;      // of the cumulative sums
};

// Fields for all of it; true where something was changed. What can't be read is put in `problem`, and changes
// nothing.
bool DrawSeriesChoice(const Look& look, TypedTexts& typed, SeriesChoice& choice, std::string& problem);

// How many of the fields say something; whose cases does not count.
int ChosenFields(const SeriesChoice& choice);

}  // namespace afterscope
