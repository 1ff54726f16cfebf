// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include <algorithm>

namespace afterscope {

// What the quiet line can show follows the case: the tip's speed where there is a trail, each setting that
// was noted.
void App::FollowQuietLines() {
  if (view_->revision == quiet_revision_) return;
  quiet_revision_ = view_->revision;
  timeline_.quiet.clear();
  if (!view_->review.trails.empty())
    timeline_.quiet.push_back(TipSpeed(view_->record, view_->review, clock_));
  for (const WordList::Item& item : note_.settings.numbers) {
    QuietSeries series = SettingOverTime(view_->review, clock_, item.key, item.ShortName(), item.unit);
    if (!series.runs.empty()) timeline_.quiet.push_back(std::move(series));
  }
}

void App::NextQuietLine() {
  const auto& lines = timeline_.quiet;
  if (lines.empty())
    return Say("The quiet line has nothing to show yet: it needs a trail of the tip, or settings.", false);
  const QuietSeries* shown = timeline_.Quiet();
  const auto next = (static_cast<std::size_t>(shown - lines.data()) + 1) % lines.size();
  timeline_.quiet_name = lines[next].name;
  Say("Quiet line: " + timeline_.quiet_name, false);
}

}  // namespace afterscope
