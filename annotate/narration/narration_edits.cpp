// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/narration_edits.hpp"

#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostRangesBytes = 1 << 20;

Draft PlacedDraft(const SpokenDraft& spoken, DraftId id, const CaseClock& clock, double offset) {
  Draft draft;
  draft.id = std::move(id);
  draft.kind = spoken.kind;
  draft.start = clock.At(spoken.start + offset);
  if (spoken.end) {
    const FrameRef end = clock.At(*spoken.end + offset);
    if (draft.start < end) draft.end = end;
  }
  draft.key = spoken.key;
  draft.fields = spoken.fields;
  draft.words = spoken.words;
  draft.confidence = std::clamp(spoken.confidence, 0.0, 1.0);
  return draft;
}

}  // namespace

EditGroup NarrationEdits(const NarrationInput& input, const Review& review, const CaseClock& clock,
                         const NarrationIdSources& ids, int& left_out) {
  EditGroup group{"Import narration", {}};
  for (const Caption& caption : review.captions) group.edits.emplace_back(Remove<CaptionId>{caption.id});
  for (const Draft& draft : review.drafts)
    if (draft.state == DraftState::kOpen) group.edits.emplace_back(Remove<DraftId>{draft.id});
  TimedText within;
  left_out = 0;
  for (const Cue& cue : input.text.cues) {
    const double start = cue.start + input.offset;
    if (!(start >= 0 && start < clock.TotalSeconds())) {
      ++left_out;
      continue;
    }
    within.cues.push_back(cue);
    Caption caption{ids.caption(), clock.At(start), {}, cue.text};
    if (cue.end) {
      const FrameRef end = clock.At(*cue.end + input.offset);
      if (caption.start < end) caption.end = end;
    }
    group.edits.emplace_back(Put<Caption>{std::move(caption)});
  }
  if (!input.rules || !input.list) return group;
  for (const SpokenDraft& spoken : DraftsFrom(within, *input.rules, *input.list, input.usual))
    group.edits.emplace_back(Put<Draft>{PlacedDraft(spoken, ids.draft(), clock, input.offset)});
  return group;
}

Result<std::map<std::string, ValueRange>> LoadSettingRanges(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostRangesBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  std::map<std::string, ValueRange> ranges;
  std::string problem;
  for (const char* list : {"numbers", "totals"})
    JsonReader(json, "the settings", problem).ReadEach(list, [&](const Json& item) {
      JsonReader reader(item, "a setting", problem);
      std::string key;
      std::optional<double> low, high;
      reader.Read("key", key);
      reader.Read("low", low);
      reader.Read("high", high);
      if (low && high) ranges[key] = {*low, *high};
    });
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read '{}': it has {}.", path, problem)};
  return ranges;
}

}  // namespace afterscope
