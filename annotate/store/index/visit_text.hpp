// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/index/index_rows.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// The visits of a review as one text, since a series always reads them whole and a row for each would cost it
// most of its time: a line a visit, of step, operator, 1 where taken over, start and end in seconds,
// recording and ticks, between tabs. A tab, a new line and a backslash in a word follow a backslash as t, n
// and itself.
std::string TextOfVisits(const std::vector<IndexVisit>& visits);

// What TextOfVisits wrote; a line that it did not write so ends the list.
std::vector<IndexVisit> VisitsFromText(std::string_view text);

}  // namespace afterscope
