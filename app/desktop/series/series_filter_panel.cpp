// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_filter_panel.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <array>

namespace afterscope {
namespace {

struct ChoiceField {
  const char* words;
  const char* hint;
  std::string SeriesFilter::*member;
  bool is_date;
};

constexpr std::array kFilterFields{
    ChoiceField{"From", "YYYY-MM-DD", &SeriesFilter::from, true},
    ChoiceField{"To", "YYYY-MM-DD", &SeriesFilter::to, true},
    ChoiceField{"Eye", "right or left", &SeriesFilter::eye, false},
    ChoiceField{"Operation", "as in the cases", &SeriesFilter::operation, false},
    ChoiceField{"Step list", "its id", &SeriesFilter::step_list, false},
    ChoiceField{"Role", "of the operator", &SeriesFilter::operator_role, false},
    ChoiceField{"Difficulty", "a key, any or none", &SeriesFilter::difficulty, false},
    ChoiceField{"Complication", "a key, any or none", &SeriesFilter::complication, false},
    ChoiceField{"Reviewer", "a code", &SeriesFilter::reviewer_code, false},
    ChoiceField{"Kind of review", "formative or formal", &SeriesFilter::kind, false}};

struct DesignField {
  const char* words;
  const char* hint;
  std::optional<double> PlanChange::*member;
};

constexpr std::array kDesign{
    DesignField{"Acceptable rate", "of failure, in percent", &PlanChange::acceptable},
    DesignField{"Unacceptable", "of failure, in percent", &PlanChange::unacceptable},
    DesignField{"False alarm", "alpha, in percent", &PlanChange::alpha},
    DesignField{"Wrongly well", "beta, in percent", &PlanChange::beta}};

constexpr std::string_view kByDate = "date:";

std::string CourseDate(const SeriesChoice& choice) {
  return choice.by.starts_with(kByDate) ? choice.by.substr(kByDate.size()) : std::string();
}

// What groups the cases, where that is no date.
std::string GroupsBy(const SeriesChoice& choice) {
  return choice.by.starts_with(kByDate) ? std::string() : choice.by;
}

bool IsReadable(bool is_date, const std::string& text, std::string& problem) {
  if (!is_date || text.empty() || IsDate(text)) return true;
  problem = fmt::format("'{}' is no date: give YYYY-MM-DD.", text);
  return false;
}

std::string PercentText(const std::optional<double>& share) {
  return share ? fmt::format("{:g}", 100 * *share) : std::string();
}

// Empty: as the plan says.
bool TakePercent(const std::string& text, std::optional<double>& share, std::string& problem) {
  const auto percent = NumberFrom(text);
  if (!text.empty() && !(percent && *percent > 0 && *percent < 100)) {
    problem = fmt::format("'{}' is no rate: give percent between 0 and 100.", text);
    return false;
  }
  share = percent ? std::optional(*percent / 100) : std::nullopt;
  return true;
}

}  // namespace

bool DrawSeriesChoice(const Look& look, TypedTexts& typed, SeriesChoice& choice, std::string& problem) {
  bool changed = false;
  const auto draw = [&](const char* words, const char* hint, bool is_date, const std::string& kept) {
    const auto text = DrawTextField(look, typed, {words, words, hint, false}, kept);
    const bool taken = text && IsReadable(is_date, std::string(Trimmed(*text)), problem);
    if (taken) problem.clear();
    changed = changed || taken;
    return taken ? std::optional(std::string(Trimmed(*text))) : std::nullopt;
  };
  for (const ChoiceField& field : kFilterFields) {
    std::string& kept = choice.filter.*field.member;
    if (auto text = draw(field.words, field.hint, field.is_date, kept)) kept = std::move(*text);
  }
  if (const auto date = draw("Before and since", "YYYY-MM-DD", true, CourseDate(choice)))
    choice.by = date->empty() ? std::string() : fmt::format("{}{}", kByDate, *date);
  if (const auto by = draw("Groups by", "role, course ...", false, GroupsBy(choice))) choice.by = *by;
  if (auto group = draw("Reference group", "others are set against it", false, choice.reference))
    choice.reference = std::move(*group);
  for (const DesignField& field : kDesign) {
    std::optional<double>& kept = choice.change.*field.member;
    if (const auto text = draw(field.words, field.hint, false, PercentText(kept)))
      TakePercent(*text, kept, problem);
  }
  if (const auto limits = draw("Time limits", "rhexis=90, whole=1200 (s)", false,
                               JoinText(choice.change.time_limits, ", "))) {
    choice.change.time_limits.clear();
    for (const std::string& limit : SplitText(*limits, ','))
      if (!Trimmed(limit).empty()) choice.change.time_limits.emplace_back(Trimmed(limit));
  }
  return changed;
}

int ChosenFields(const SeriesChoice& choice) {
  int count = (CourseDate(choice).empty() ? 0 : 1) + (choice.reference.empty() ? 0 : 1);
  for (const DesignField& field : kDesign) count += (choice.change.*field.member).has_value() ? 1 : 0;
  count += choice.change.time_limits.empty() ? 0 : 1;
  for (const ChoiceField& field : kFilterFields) count += (choice.filter.*field.member).empty() ? 0 : 1;
  return count;
}

}  // namespace afterscope
