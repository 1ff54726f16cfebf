// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sound_levels.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

Result<SoundEnvelope> LoadOrMake(const Recording& recording, const std::string& folder,
                                 const Progress& progress, const StopQuery& stop) {
  const SoundEnvelopeStore store(folder, RealFileSystem());
  if (auto kept = store.Load(recording)) return std::move(*kept);
  auto made = MakeSoundEnvelope(recording, progress, stop);
  if (made.ok()) store.Save(recording, *made);
  return made;
}

}  // namespace

void SoundLevels::Forget(const std::string& cache_folder) {
  if (job_) job_->Stop();
  job_.reset();
  items_.clear();
  problem_.clear();
  cache_folder_ = cache_folder;
  jobs_.Renew();
}

bool SoundLevels::AnySound() const {
  return std::any_of(reel_.items().begin(), reel_.items().end(), [](const Reel::Item& item) {
    return item.recording && item.recording->info().sound.has_value();
  });
}

// A better frame table may begin or end the recording elsewhere: then they are made again.
bool SoundLevels::IsMissing(std::size_t i) {
  const auto recording = reel_.Shared(static_cast<int>(i));
  Item& item = items_[i];
  if (!recording) return false;
  const RecordingShape shape = recording->Shape();
  const bool same =
      item.recording == recording && item.shape.first == shape.first && item.shape.end == shape.end;
  if (same) return !item.envelope && !item.failed;
  item.recording = recording;
  item.shape = shape;
  item.failed = false;
  return true;
}

void SoundLevels::Want() {
  if (busy()) return;
  items_.resize(reel_.items().size());
  for (std::size_t i = 0; i < items_.size(); ++i)
    if (IsMissing(i)) return Make(i);
}

bool SoundLevels::Settled() const {
  return !busy() && items_.size() == reel_.items().size() &&
         std::all_of(items_.begin(), items_.end(),
                     [](const Item& item) { return !item.recording || item.envelope || item.failed; });
}

void SoundLevels::Make(std::size_t i) {
  job_ = jobs_.Start(
      "Reading the sound",
      [recording = items_[i].recording, folder = cache_folder_](const Progress& progress,
                                                                const StopQuery& stop) {
        return LoadOrMake(*recording, folder, progress, stop);
      },
      [this, i](Result<SoundEnvelope> made) {
        if (i >= items_.size()) return;
        items_[i].failed = !made.ok();
        if (made.ok())
          items_[i].envelope = std::make_shared<const SoundEnvelope>(std::move(made).value());
        else
          problem_ = made.error().message;
      });
}

std::shared_ptr<const SoundEnvelope> SoundLevels::Of(int recording) const {
  const auto i = static_cast<std::size_t>(recording);
  return recording >= 0 && i < items_.size() ? items_[i].envelope : nullptr;
}

std::vector<double> DrawnLevels(const SoundLevels& levels, const CaseClock& clock, std::size_t pieces) {
  std::vector<double> drawn;
  const double each = clock.TotalSeconds() / static_cast<double>(std::max<std::size_t>(1, pieces));
  for (std::size_t i = 0; i < pieces; ++i) {
    const double from = each * static_cast<double>(i);
    drawn.push_back(DrawnHeight(LevelOver(levels, clock, from, from + each).peak));
  }
  return drawn;
}

SoundLevel LevelOver(const SoundLevels& levels, const CaseClock& clock, double from_seconds,
                     double to_seconds) {
  SoundLevel over;
  double squares = 0;
  double seconds = 0;
  const std::vector<double>& starts = clock.Starts();
  for (std::size_t i = 0; i < starts.size(); ++i) {
    const double end = i + 1 < starts.size() ? starts[i + 1] : clock.TotalSeconds();
    const double from = std::max(from_seconds, starts[i]);
    const double to = std::min(to_seconds, end);
    const auto envelope = levels.Of(static_cast<int>(i));
    if (!(from < to) || !envelope) continue;
    const SoundLevel part = LevelOver(*envelope, from - starts[i], to - starts[i]);
    over.peak = std::max(over.peak, part.peak);
    squares += double{part.rms} * part.rms * (to - from);
    seconds += to - from;
  }
  if (seconds > 0) over.rms = static_cast<float>(std::sqrt(squares / seconds));
  return over;
}

}  // namespace afterscope
