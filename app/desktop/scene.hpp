// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/step_list.hpp"
#include "app/desktop/desk/case_desk.hpp"
#include "app/desktop/key_map.hpp"
#include "app/desktop/look/look.hpp"
#include "app/desktop/player/player.hpp"
#include "app/desktop/timeline/layout.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What a panel wants to happen beside edits; carried out after all were drawn.
struct Wishes {
  std::optional<FrameRef> jump;
  std::optional<MomentId> hear;      // the spoken remark to be played
  bool scrubbing = false;            // the jump belongs to a drag over the timeline
  std::vector<std::string> actions;  // of the key map
  std::optional<VisitId> about;      // the visit that the actions are about; empty: the one at the playhead
  std::optional<std::string> open;   // a folder or recording
  std::optional<std::string> start_step;       // key of the step list
  int start_lane = 0;                          // in which it starts
  std::optional<StepList> step_list;           // the list as it should be
  std::optional<std::string> take_step_list;   // from that file
  std::optional<std::string> write_step_list;  // to that file
  std::optional<MomentId> change;              // the moment to be changed
  std::optional<PointPx> label_at;             // where words are to be put on the picture
  bool side_labels = false;                    // nasal, temporal, superior, inferior on the picture
  JobHandle work_in_sight;                     // the first that a panel shows going on
  std::string under;                           // what lies under the pointer, for the bottom line
};

// How the case's sound stands.
struct SoundStatus {
  bool there = false;    // a recording has sound
  bool audible = false;  // at the present speed
  bool muted = false;
  int volume_pct = 0;
  bool hidden = false;  // voices would tell whose case it is
  bool Heard() const { return audible && !muted && !hidden; }
};

// What every panel reads while one picture of the window is drawn, and where it leaves its wishes.
struct Scene {
  const CaseView& view;
  const CaseClock& clock;
  const Tables& tables;
  const Reel& reel;
  const Player& player;
  const StepList& steps;
  const KeyMap& keys;
  const Look& look;
  double now = 0;
  Wishes& wishes;
  SoundStatus sound = {};

  // The review can be changed: it is neither read-only nor sealed.
  bool Editable() const {
    return !view.read_only && !view.review.is_signed && !view.record.recordings.empty();
  }
  double Seconds(FrameRef at) const { return clock.Seconds(at); }
};

}  // namespace afterscope
