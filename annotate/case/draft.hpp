// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "metrics/base/time.hpp"

#include <map>
#include <optional>
#include <string>

namespace afterscope {

using CaptionId = Id<struct CaptionKindTag>;
using DraftId = Id<struct DraftKindTag>;

// Spoken words on the case clock. `end` empty: until the next caption.
struct Caption {
  CaptionId id;
  FrameRef start;
  std::optional<FrameRef> end;
  std::string text;
  friend bool operator==(const Caption&, const Caption&) = default;
};

enum class DraftKind { kStep, kSettings, kComplication, kTeachingPoint, kCheck, kInstrument, kFollowUp };
enum class DraftState { kOpen, kAccepted, kRefused };

// Something that a narration suggests for the record. It is no part of the record until it is accepted, and
// counts in no figure.
struct Draft {
  DraftId id;
  DraftKind kind = DraftKind::kStep;
  DraftState state = DraftState::kOpen;
  FrameRef start;
  std::optional<FrameRef> end;                // of a step; empty: not said
  std::string key;                            // which step, complication, check, preset or instrument
  std::map<std::string, std::string> fields;  // as of the moment that it would become (FORMAT.md)
  std::string words;                          // what was said
  double confidence = 0;                      // 0 to 1
  friend bool operator==(const Draft&, const Draft&) = default;
};

}  // namespace afterscope
