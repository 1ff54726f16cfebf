// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/cusum_chart.hpp"

namespace afterscope {

void NoteSignal(CusumChart& chart) {
  if (chart.points.empty() || chart.points.back().signal == CusumSignal::kNone) return;
  chart.latest = chart.points.back().signal;
  chart.latest_case = chart.points.size() - 1;
  if (!chart.first_case) chart.first_case = chart.latest_case;
}

}  // namespace afterscope
