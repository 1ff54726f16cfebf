// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/step_list_edits.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::size_t kLongestKey = 40;

std::vector<StepKind>::iterator Find(StepList& list, const std::string& key) {
  return std::find_if(list.steps.begin(), list.steps.end(),
                      [&](const StepKind& step) { return step.key == key; });
}

const StepKind* OwnerOf(const StepList& list, const std::string& shortcut) {
  const auto found = std::find_if(list.steps.begin(), list.steps.end(),
                                  [&](const StepKind& step) { return step.shortcut == shortcut; });
  return found == list.steps.end() ? nullptr : &*found;
}

}  // namespace

std::string FreshStepKey(const StepList& list, const std::string& name) {
  std::string key;
  for (const char letter : name) {
    const char low = letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
    const bool plain = (low >= 'a' && low <= 'z') || (low >= '0' && low <= '9');
    if (plain && key.size() < kLongestKey) key += low;
    if (low == ' ' && !key.empty() && key.back() != '_') key += '_';
  }
  while (!key.empty() && key.back() == '_') key.pop_back();
  if (key.empty()) key = "step";
  std::string fresh = key;
  for (int i = 2; list.Find(fresh) != nullptr; ++i) fresh = fmt::format("{}_{}", key, i);
  return fresh;
}

std::string FreeShortcut(const StepList& list) {
  for (const char sign : std::string_view("1234567890qwertyuiopasdfghjklzxcvbnm")) {
    std::string shortcut(1, sign);
    if (IsFreeForSteps(shortcut) && OwnerOf(list, shortcut) == nullptr) return shortcut;
  }
  return {};
}

std::string AddStep(StepList& list, const std::string& name) {
  const std::string trimmed(Trimmed(name));
  if (trimmed.empty()) return {};
  for (const StepKind& step : list.steps)
    if (step.name == trimmed) return step.key;
  StepKind step{FreshStepKey(list, trimmed), trimmed, FreeShortcut(list), false};
  const auto add_ons =
      std::find_if(list.steps.begin(), list.steps.end(), [](const StepKind& each) { return each.add_on; });
  return list.steps.insert(add_ons, std::move(step))->key;
}

void RenameStepOfList(StepList& list, const std::string& key, const std::string& name) {
  const auto step = Find(list, key);
  const std::string trimmed(Trimmed(name));
  if (step != list.steps.end() && !trimmed.empty()) step->name = trimmed;
}

std::string SetShortcut(StepList& list, const std::string& key, const std::string& given) {
  const auto step = Find(list, key);
  if (step == list.steps.end()) return {};
  std::string shortcut(Trimmed(given));
  for (char& letter : shortcut)
    if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
  if (!shortcut.empty() && !IsFreeForSteps(shortcut))
    return fmt::format("'{}' can't start a step: it is no single sign, or the program uses it; take another.",
                       shortcut);
  const StepKind* owner = shortcut.empty() ? nullptr : OwnerOf(list, shortcut);
  if (owner != nullptr && owner->key != key)
    return fmt::format("'{}' starts {} already; give that another key first.", shortcut, owner->name);
  step->shortcut = shortcut;
  return {};
}

void MoveStep(StepList& list, const std::string& key, int by) {
  const auto step = Find(list, key);
  if (step == list.steps.end()) return;
  const auto place = step - list.steps.begin();
  const auto to = place + by;
  if (to < 0 || to >= static_cast<std::ptrdiff_t>(list.steps.size())) return;
  std::swap(list.steps[static_cast<std::size_t>(place)], list.steps[static_cast<std::size_t>(to)]);
}

void RemoveStepOfList(StepList& list, const std::string& key) {
  const auto step = Find(list, key);
  if (step != list.steps.end()) list.steps.erase(step);
}

}  // namespace afterscope
