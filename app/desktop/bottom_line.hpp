// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/picture/picture_panel.hpp"
#include "app/desktop/scene.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What was last said to the user. A failure stays until something else happens.
struct SaidState {
  std::string text;
  bool failure = false;
  double until = 0;
};

// A key and what it does here and now.
struct KeyHint {
  std::string chord;
  std::string words;
};

// What the keys are waited for, where it is not the usual.
enum class KeysFor { kReview, kText, kDay, kNewName, kOtherHand, kPoint, kDifferences };

// The few hints that matter for what is going on, most useful first. Where keys are not waited for by a text,
// the last one says how all keys are listed; DrawBottomLine always has room for it.
std::vector<KeyHint> HintsFor(const Scene& scene, const PictureState& picture, KeysFor keys);

// The line at the bottom: what the keys do, and at the right what lies under the pointer, what was said, or
// what is being worked on.
void DrawBottomLine(const Scene& scene, const std::vector<KeyHint>& hints, const SaidState& said,
                    const std::vector<JobHandle>& works, const ScreenRect& area);

}  // namespace afterscope
