// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/left_behind.hpp"

#include "annotate/exchange/carried_data.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <set>

namespace afterscope {
namespace {

constexpr std::int64_t kLookedThrough = std::int64_t{64} << 20;  // of a recording's streams
constexpr std::size_t kMostNamed = 8;

std::string Sentence(const std::string& path) {
  const std::string name = std::filesystem::path(path).filename().string();
  const auto carried = WhatFileCarries(path, kLookedThrough);
  if (!carried.ok())
    return fmt::format("Nothing that '{}' carries beside pictures and sound is in the clip.", name);
  std::set<std::string> said;
  for (const CarriedItem& item : carried->items)
    if (!item.harmless) said.insert(fmt::format("{} '{}'", item.where, item.what));
  if (said.empty()) return {};
  std::string list;
  std::size_t named = 0;
  for (const std::string& item : said)
    if (++named <= kMostNamed) list += (list.empty() ? "" : ", ") + item;
  if (named > kMostNamed) list += fmt::format(" and {} more", named - kMostNamed);
  return fmt::format("Left behind, of '{}': {}.", name, list);
}

}  // namespace

std::vector<std::string> LeftBehind(const ClipPlan& plan, ClipSource& source) {
  std::vector<std::string> sentences;
  std::set<std::string> seen;
  for (std::size_t part = 0; part < plan.parts.size(); ++part) {
    if (plan.parts[part].kind == ClipPartKind::kTitle) continue;
    for (const std::string& path : source.PathsOf(part)) {
      if (!seen.insert(path).second) continue;
      if (std::string sentence = Sentence(path); !sentence.empty()) sentences.push_back(std::move(sentence));
    }
  }
  return sentences;
}

}  // namespace afterscope
