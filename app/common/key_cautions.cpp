// SPDX-License-Identifier: Apache-2.0
#include "app/common/key_cautions.hpp"

#include "annotate/case/near_word.hpp"
#include "annotate/case/text.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {

bool KeyCautions::IsHeld(Kind kind, const std::string& key) const {
  const Review& review = session_.review();
  if (kind == Kind::kStep)
    return std::any_of(review.visits.begin(), review.visits.end(),
                       [&](const StepVisit& visit) { return visit.step == key; });
  const MomentKind moments = kind == Kind::kCheck ? MomentKind::kCheck : MomentKind::kComplication;
  return (kind == Kind::kCheck && review.checks.contains(key)) ||
         std::any_of(review.moments.begin(), review.moments.end(),
                     [&](const Moment& moment) { return moment.kind == moments && moment.key == key; });
}

// None where the file can't be read: then nothing is told.
const std::optional<KeyCautions::Known>& KeyCautions::KnownOf(Kind kind) {
  const auto [known, is_new] = known_.try_emplace(kind);
  if (!is_new) return known->second;
  if (kind == Kind::kComplication) {
    if (const auto named = LoadNamedKeys(AssetsFolder() + "/complications.json", "complications")) {
      known->second = Known{"assets/complications.json", {}};
      for (const NamedKey& entry : *named) known->second->keys.push_back(entry.key);
    }
    return known->second;
  }
  if (const auto list = LoadStepList(session_.record(), session_.folder(), AssetsFolder())) {
    known->second = Known{fmt::format("the step list '{}'", list->id), {}};
    for (const StepKind& step : list->steps)
      if (kind == Kind::kStep) known->second->keys.push_back(step.key);
    for (const CheckKind& check : list->checks)
      if (kind == Kind::kCheck) known->second->keys.push_back(check.key);
  }
  return known->second;
}

void KeyCautions::Tell(Kind kind, const std::string& key, std::vector<std::string>& cautions) {
  if (key.empty() || IsHeld(kind, key) || !told_.emplace(kind, key).second) return;
  const std::optional<Known>& known = KnownOf(kind);
  if (!known || std::find(known->keys.begin(), known->keys.end(), key) != known->keys.end()) return;
  const std::string near = NearWord(key, known->keys);
  if (kind != Kind::kComplication && near.empty() && session_.record().step_list.empty()) return;
  constexpr const char* kWords[] = {"step", "check", "complication"};
  cautions.push_back(fmt::format("'{}' is no {} of {} and was taken as one of your own{}{}.", key,
                                 kWords[static_cast<int>(kind)], known->list,
                                 kind == Kind::kComplication ? ", which no cumulative sum knows" : "",
                                 near.empty() ? "" : fmt::format("; the nearest known one is '{}'", near)));
}

void KeyCautions::TellSettings(const Moment& moment, std::vector<std::string>& cautions) {
  if (!ranges_) {
    auto ranges = LoadSettingRanges(AssetsFolder() + "/settings.json");
    ranges_ = ranges.ok() ? *std::move(ranges) : std::map<std::string, ValueRange>();
  }
  for (const auto& [key, text] : moment.fields) {
    const auto range = ranges_->find(key);
    const auto value = NumberFrom(text);
    if (range == ranges_->end() || !value || (*value >= range->second.low && *value <= range->second.high))
      continue;
    cautions.push_back(
        fmt::format("{}={} lies outside {} to {}, as assets/settings.json has it; it was kept as said.", key,
                    text, range->second.low, range->second.high));
  }
}

std::vector<std::string> KeyCautions::Of(const EditGroup& group) {
  std::vector<std::string> cautions;
  for (const Edit& edit : group.edits) {
    if (const auto* visit = std::get_if<Put<StepVisit>>(&edit)) Tell(Kind::kStep, visit->item.step, cautions);
    if (const auto* check = std::get_if<SetCheck>(&edit)) Tell(Kind::kCheck, check->key, cautions);
    const auto* moment = std::get_if<Put<Moment>>(&edit);
    if (moment && moment->item.kind == MomentKind::kSettings) TellSettings(moment->item, cautions);
    if (moment && moment->item.kind == MomentKind::kCheck) Tell(Kind::kCheck, moment->item.key, cautions);
    if (moment && moment->item.kind == MomentKind::kComplication)
      Tell(Kind::kComplication, moment->item.key, cautions);
  }
  return cautions;
}

}  // namespace afterscope
