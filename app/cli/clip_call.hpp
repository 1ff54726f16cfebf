// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace afterscope {

// What `clip` was asked to do.
struct ClipCall {
  std::string folder;
  std::string review;
  std::string plan;
  std::vector<std::string> steps;
  std::vector<std::string> also;  // further cases of the same steps
  std::string moment;
  std::string from, to;
  std::string take;
  std::string title;
  std::string save;
  double speed = 1;
  double zoom = 1;
  std::string view, view_at_end;
  std::vector<std::string> freeze;
  std::string size = "1280x720";
  std::string rate = "25";
  std::string sound = "muted";
  std::string sound_file;
  bool voice = false;
  bool trail = false;
  bool timer = false;
  bool findings = false;
  bool plain = false;
  bool captions_beside = false;
  double fade = 0.5;
  std::string
      of_new_plan;  // an option that was given and that a kept plan, which says it itself, has no use for
  // Not a clip, but what goes into one or stands beside it.
  bool find_text = false;
  bool cover_text = false;
  std::string add_take, remove_take, words;
  bool list_takes = false;
  std::string captions_file, chapters_file, steps_file;
  ClipOptions make;
  std::string output;

  // In how many of the ways there are (--plan, --step, ...) it says what the clip shows: one is right.
  int WaysToSayParts() const {
    return int{!plan.empty()} + int{!steps.empty()} + int{!moment.empty()} + int{!take.empty()} +
           int{!from.empty() || !to.empty()};
  }
  // How many things besides a clip it asks for; a call does one thing.
  int ThingsBesidesClip() const {
    return int{find_text || cover_text} + int{!add_take.empty()} + int{!remove_take.empty()} +
           int{list_takes} + int{!take.empty() && !words.empty()} +
           int{!captions_file.empty() || !chapters_file.empty() || !steps_file.empty()};
  }
};

// A new plan of what was asked for.
Result<ClipPlan> NewPlan(const ClipCall& call);
void BindPlan(CLI::App& sub, ClipCall& call);

// Takes of the narration; captions, chapters and steps of the whole case. `done`: it was one of these.
Status DoVoice(const ClipCall& call, bool& done);
void BindVoice(CLI::App& sub, ClipCall& call);

}  // namespace afterscope
