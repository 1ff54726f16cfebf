// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"

#include <array>
#include <optional>
#include <string_view>

namespace afterscope {

// The words that files and commands use for the values of an enumeration, in the order of the enumeration.
template <class Enum>
struct WordsOf;

template <>
struct WordsOf<Eye> {
  static constexpr std::array<std::string_view, 3> kWords{"unknown", "right", "left"};
};
template <>
struct WordsOf<DiameterKind> {
  static constexpr std::array<std::string_view, 2> kWords{"true", "as seen"};
};
template <>
struct WordsOf<MomentKind> {
  static constexpr std::array<std::string_view, 5> kWords{"remark", "teaching point", "complication",
                                                          "settings", "check"};
};
template <>
struct WordsOf<MarkKind> {
  static constexpr std::array<std::string_view, 11> kWords{"limbus",   "pupil", "rhexis", "lens edge",
                                                           "incision", "ruler", "object", "grasp",
                                                           "arrow",    "label", "cover"};
};
template <>
struct WordsOf<TrailSource> {
  static constexpr std::array<std::string_view, 3> kWords{"hand", "followed", "corrected"};
};
template <>
struct WordsOf<ScaleSource> {
  static constexpr std::array<std::string_view, 3> kWords{"limbus", "object", "ruler"};
};
template <>
struct WordsOf<Plane> {
  static constexpr std::array<std::string_view, 4> kWords{"cornea", "capsule", "lens", "sclera"};
};
template <>
struct WordsOf<CheckState> {
  static constexpr std::array<std::string_view, 4> kWords{"not reviewed", "seen done", "seen not done",
                                                          "not visible"};
};
template <>
struct WordsOf<DraftKind> {
  static constexpr std::array<std::string_view, 7> kWords{
      "step", "settings", "complication", "teaching point", "check", "instrument", "follow-up"};
};
template <>
struct WordsOf<DraftState> {
  static constexpr std::array<std::string_view, 3> kWords{"open", "accepted", "refused"};
};
template <>
struct WordsOf<ReviewKind> {
  static constexpr std::array<std::string_view, 2> kWords{"formative", "formal"};
};

template <>
struct WordsOf<GoalOutcome> {
  static constexpr std::array<std::string_view, 4> kWords{"not said", "met", "partly met", "not met"};
};
template <>
struct WordsOf<Blinding> {
  static constexpr std::array<std::string_view, 3> kWords{"open", "blinded", "lifted"};
};
template <>
struct WordsOf<Recognition> {
  static constexpr std::array<std::string_view, 4> kWords{"not asked", "no", "perhaps", "yes"};
};

template <class Enum>
constexpr std::string_view WordOf(Enum value) {
  return WordsOf<Enum>::kWords[static_cast<std::size_t>(value)];
}

template <class Enum>
constexpr std::optional<Enum> FromWord(std::string_view word) {
  for (std::size_t i = 0; i < WordsOf<Enum>::kWords.size(); ++i)
    if (WordsOf<Enum>::kWords[i] == word) return static_cast<Enum>(i);
  return std::nullopt;
}

}  // namespace afterscope
