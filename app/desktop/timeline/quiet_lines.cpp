// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/quiet_lines.hpp"

#include "annotate/store/followed_files.hpp"
#include "annotate/store/review_folders.hpp"
#include "app/desktop/timeline/followed_lines.hpp"

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr const char* kSoundLine = "sound";
constexpr std::size_t kSoundPieces = 4000;  // more than a window is wide

void AddKnown(std::vector<QuietSeries>& lines, QuietSeries series) {
  if (!series.runs.empty()) lines.push_back(std::move(series));
}

// As the findings have it: with what other reviews tell of the error of marks.
EyeOverTime EyeLines(const CaseView& view, const CaseRecord& record, const Followed& followed,
                     const StopQuery& stop) {
  if (followed.eyes.empty()) return {};
  const std::vector<Review> others = MarkedBesides(view.folder, view.review.id);
  MeasureOptions options;
  options.others = PointersTo(others);
  options.stop = stop;
  return EyeOverTimeOf(record, view.review, options, followed);
}

// What the quiet line can show of a case; blocks for the files of what was followed.
std::vector<QuietSeries> LinesOf(const CaseView& view, const CaseRecord& record, const CaseClock& clock,
                                 const std::vector<WordList::Item>& settings, const StopQuery& stop) {
  std::vector<QuietSeries> lines;
  const Followed followed = view.folder.empty() ? Followed{} : LoadFollowed(view.folder, view.review.id);
  const EyeOverTime eye = EyeLines(view, record, followed, stop);
  AddKnown(lines, TipSpeed(record, WithFollowed(view.review, followed), clock));
  AddKnown(lines, PupilLine(eye));
  AddKnown(lines, OffCentreLine(eye));
  AddKnown(lines, TrustOverTime(followed, clock));
  for (const WordList::Item& item : settings)
    AddKnown(lines, SettingOverTime(view.review, clock, item.key, item.ShortName(), item.unit));
  return lines;
}

}  // namespace

void QuietLines::Forget() {
  jobs_.Renew();
  revision_ = 0;
  timeline_.quiet.clear();
}

void QuietLines::Follow(const std::shared_ptr<const CaseView>& view, const Scene& scene,
                        const std::vector<WordList::Item>& settings) {
  if (view->revision != revision_) {
    revision_ = view->revision;
    CaseRecord record = view->record;
    record.recordings = scene.reel.Known(record.recordings);
    jobs_.Renew();
    jobs_.Start(
        "",
        [view, record = std::move(record), clock = scene.clock, settings](
            const Progress&, const StopQuery& stop) { return LinesOf(*view, record, clock, settings, stop); },
        [this](std::vector<QuietSeries> lines) { timeline_.quiet = std::move(lines); });
  }
  FollowSound(scene);
}

// The sound is read only once its line is to be seen.
void QuietLines::FollowSound(const Scene& scene) {
  auto& lines = timeline_.quiet;
  auto sound =
      std::find_if(lines.begin(), lines.end(), [](const auto& line) { return line.name == kSoundLine; });
  if (!levels_.AnySound() || scene.view.hidden) {
    if (sound != lines.end()) lines.erase(sound);
    return;
  }
  if (sound == lines.end()) {
    QuietSeries offered{kSoundLine, "", false, {}};
    offered.by_choice = offered.whole = true;
    sound = lines.insert(lines.end(), std::move(offered));
  }
  if (timeline_.Quiet() != &*sound) return;
  levels_.Want();
  const double total = scene.clock.TotalSeconds();
  if (!sound->runs.empty() || !levels_.Settled() || total <= 0) return;
  std::vector<QuietSample> run;
  const double piece = total / kSoundPieces;
  for (const double height : DrawnLevels(levels_, scene.clock, kSoundPieces))
    run.push_back({piece * (static_cast<double>(run.size()) + 0.5), height});
  sound->runs = {std::move(run)};
}

void QuietLines::Next(const SayCall& say) {
  const auto& lines = timeline_.quiet;
  if (lines.empty())
    return say(
        "The quiet line has nothing to show yet: it needs sound, a trail of the tip, the eye followed, or "
        "settings.",
        false);
  const QuietSeries* shown = timeline_.Quiet();
  const std::size_t next =
      shown == nullptr ? 0 : (static_cast<std::size_t>(shown - lines.data()) + 1) % lines.size();
  timeline_.quiet_name = lines[next].name;
  say("Quiet line: " + timeline_.quiet_name, false);
}

}  // namespace afterscope
