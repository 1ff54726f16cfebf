// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/followed_files.hpp"
#include "app/desktop/app.hpp"
#include "app/desktop/timeline/followed_lines.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr const char* kSoundLine = "sound";
constexpr std::size_t kSoundPieces = 4000;  // more than a window is wide

void AddKnown(std::vector<QuietSeries>& lines, QuietSeries series) {
  if (!series.runs.empty()) lines.push_back(std::move(series));
}

// What the quiet line can show of a case; blocks for the files of what was followed.
std::vector<QuietSeries> LinesOf(const CaseView& view, const CaseRecord& record, const CaseClock& clock,
                                 const std::vector<WordList::Item>& settings) {
  std::vector<QuietSeries> lines;
  const Followed followed = view.folder.empty() ? Followed{} : LoadFollowed(view.folder, view.review.id);
  AddKnown(lines, TipSpeed(record, WithFollowed(view.review, followed), clock));
  AddKnown(lines, PupilOverTime(followed, clock));
  AddKnown(lines, OffCentreOverTime(followed, record, clock));
  for (const WordList::Item& item : settings)
    AddKnown(lines, SettingOverTime(view.review, clock, item.key, item.ShortName(), item.unit));
  return lines;
}

}  // namespace

// The quiet lines follow the case, off the drawing thread.
void App::FollowQuietLines() {
  if (view_->revision == quiet_revision_) return;
  quiet_revision_ = view_->revision;
  CaseRecord record = view_->record;
  record.recordings = reel_.Known(record.recordings);
  jobs_.Start(
      "",
      [view = view_, record = std::move(record), clock = clock_, settings = note_.settings.numbers](
          const Progress&, const StopQuery&) { return LinesOf(*view, record, clock, settings); },
      [this, alive = alive_, generation = generation_,
       revision = quiet_revision_](std::vector<QuietSeries> lines) {
        if (!*alive || generation != generation_ || revision != quiet_revision_) return;
        timeline_.quiet = std::move(lines);
      });
}

// The sound is read only once its line is to be seen.
void App::FollowSoundLine() {
  auto& lines = timeline_.quiet;
  auto sound =
      std::find_if(lines.begin(), lines.end(), [](const auto& line) { return line.name == kSoundLine; });
  if (!sound_levels_.AnySound() || view_->hidden) {
    if (sound != lines.end()) lines.erase(sound);
    return;
  }
  if (sound == lines.end()) {
    QuietSeries offered{kSoundLine, "", false, {}};
    offered.by_choice = offered.whole = true;
    sound = lines.insert(lines.end(), std::move(offered));
  }
  if (timeline_.Quiet() != &*sound) return;
  sound_levels_.Want();
  if (!sound->runs.empty() || !sound_levels_.Settled() || clock_.TotalSeconds() <= 0) return;
  std::vector<QuietSample> run;
  const double piece = clock_.TotalSeconds() / kSoundPieces;
  for (const double height : DrawnLevels(sound_levels_, clock_, kSoundPieces))
    run.push_back({piece * (static_cast<double>(run.size()) + 0.5), height});
  sound->runs = {std::move(run)};
}

void App::NextQuietLine() {
  const auto& lines = timeline_.quiet;
  if (lines.empty())
    return Say(
        "The quiet line has nothing to show yet: it needs sound, a trail of the tip, the eye followed, or "
        "settings.",
        false);
  const QuietSeries* shown = timeline_.Quiet();
  const std::size_t next =
      shown == nullptr ? 0 : (static_cast<std::size_t>(shown - lines.data()) + 1) % lines.size();
  timeline_.quiet_name = lines[next].name;
  Say("Quiet line: " + timeline_.quiet_name, false);
}

}  // namespace afterscope
