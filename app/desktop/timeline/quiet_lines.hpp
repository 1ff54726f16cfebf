// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_scope.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/sound/sound_levels.hpp"
#include "app/desktop/timeline/timeline_panel.hpp"

#include <cstdint>
#include <memory>
#include <vector>

namespace afterscope {

// Keeps what the timeline's quiet line can show of the open case; computed off the thread that draws. One
// thread.
class QuietLines {
 public:
  QuietLines(JobRunner& jobs, TimelineState& timeline, SoundLevels& levels)
      : jobs_(jobs), timeline_(timeline), levels_(levels) {}

  // Once a frame. `settings`: the numbers of settings that are offered as lines.
  void Follow(const std::shared_ptr<const CaseView>& view, const Scene& scene,
              const std::vector<WordList::Item>& settings);
  void Forget();                   // another case
  void Renew() { revision_ = 0; }  // what they are made from has changed beside the case itself
  // Shows the next line that there is.
  void Next(const SayCall& say);

 private:
  void FollowSound(const Scene& scene);

  JobScope jobs_;
  TimelineState& timeline_;
  SoundLevels& levels_;
  std::uint64_t revision_ = 0;  // of the case that the lines were made from
};

}  // namespace afterscope
