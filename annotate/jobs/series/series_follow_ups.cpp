// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_follow_ups.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/demo/table_cases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

namespace afterscope {
namespace {

constexpr std::string_view kPlanned = "follow_up.";
constexpr std::string_view kBetween = " to ";

std::optional<std::pair<std::string, std::string>> Parted(const std::string& text) {
  const auto at = text.find(kBetween);
  if (at == std::string::npos) return std::nullopt;
  return std::pair{text.substr(0, at), text.substr(at + kBetween.size())};
}

std::string NameOf(const std::string& key, const std::vector<NamedKey>& known) {
  for (const NamedKey& entry : known)
    if (entry.key == key) return entry.name;
  return key;
}

FollowUpState StateOn(const std::string& date, const FollowUp& follow_up) {
  if (!follow_up.done.empty()) return FollowUpState::kDone;
  if (date < follow_up.from) return FollowUpState::kComing;
  return date <= follow_up.to ? FollowUpState::kDue : FollowUpState::kOverdue;
}

}  // namespace

std::vector<FollowUp> FollowUpsOn(const std::string& date, const std::vector<IndexCase>& cases,
                                  const std::vector<NamedKey>& known, std::vector<std::string>& cautions) {
  std::vector<FollowUp> out;
  for (const IndexCase& entry : cases)
    for (const auto& [name, text] : entry.extra) {
      if (!name.starts_with(kPlanned)) continue;
      const std::string key = name.substr(kPlanned.size());
      const auto window = Parted(text);
      if (!window || !IsDate(window->first) || !IsDate(window->second)) {
        cautions.push_back(
            fmt::format("Case '{}': '{}' is no window of time for '{}': give YYYY-MM-DD to "
                        "YYYY-MM-DD.",
                        entry.code, text, key));
        continue;
      }
      const auto done = entry.extra.find("follow_up_done." + key);
      FollowUp follow_up{entry.code,
                         entry.folder,
                         entry.operator_code,
                         key,
                         NameOf(key, known),
                         window->first,
                         window->second,
                         done == entry.extra.end() ? "" : done->second,
                         {}};
      follow_up.state = StateOn(date, follow_up);
      out.push_back(std::move(follow_up));
    }
  std::sort(out.begin(), out.end(), [](const FollowUp& a, const FollowUp& b) {
    return std::tie(a.to, a.from, a.code, a.key) < std::tie(b.to, b.from, b.code, b.key);
  });
  return out;
}

bool IsFollowUpWindow(const std::string& text) {
  const auto window = Parted(text);
  return window && IsDate(window->first) && IsDate(window->second) && window->first <= window->second;
}

const char* StateWords(FollowUpState state) {
  constexpr const char* kWords[] = {"coming", "due", "overdue", "done"};
  return kWords[static_cast<int>(state)];
}

std::string WindowWords(const FollowUp& f) {
  return f.from == f.to ? f.from : fmt::format("{} to {}", f.from, f.to);
}

namespace {

constexpr double kMostDays = 36'500;

EditGroup Planned(const std::string& key, const std::string& window) {
  return {"Plan follow-up", {SetCaseField{fmt::format("extra.follow_up.{}", key), window}}};
}

std::string WindowAfter(const std::string& case_date, double from, double to) {
  return fmt::format("{} to {}", DateAfter(case_date, static_cast<int>(from)),
                     DateAfter(case_date, static_cast<int>(to)));
}

// Days as a draft keeps them; -1: none that are possible.
double DaysOf(const Draft& draft, const char* field) {
  const auto found = draft.fields.find(field);
  const double days = found == draft.fields.end() ? -1 : NumberFrom(found->second).value_or(-1);
  return days >= 0 && days <= kMostDays ? days : -1;
}

}  // namespace

Result<EditGroup> PlanSpokenFollowUp(const CaseRecord& record, const Draft& accepted) {
  const auto [from, to] = std::minmax({DaysOf(accepted, "from_days"), DaysOf(accepted, "to_days")});
  if (accepted.kind != DraftKind::kFollowUp || accepted.state != DraftState::kAccepted || from < 0)
    return Error{ErrorCode::kBadCall,
                 fmt::format("Draft '{}' is no accepted follow-up with days that are possible; it is not "
                             "planned.",
                             accepted.id.value)};
  if (!IsDate(record.date))
    return Error{
        ErrorCode::kNotComputable,
        fmt::format("What is to be looked at again is a remark alone ('{}'): the case has no date, so "
                    "it is not planned.",
                    accepted.words)};
  const std::string window = WindowAfter(record.date, from, to);
  std::string key = "narration";
  for (int number = 2; record.extra.contains(std::string(kPlanned) + key); ++number) {
    if (record.extra.at(std::string(kPlanned) + key) == window) return EditGroup{"Plan follow-up", {}};
    key = fmt::format("narration_{}", number);
  }
  return Planned(key, window);
}

Result<EditGroup> PlanFollowUp(const NamedKey& follow_up, const std::string& case_date) {
  const auto days = Parted(follow_up.definition).value_or(std::pair<std::string, std::string>{});
  const double from = NumberFrom(days.first).value_or(-1);
  const double to = NumberFrom(days.second).value_or(-1);
  if (from < 0 || from > to)
    return Error{
        ErrorCode::kBadCall,
        fmt::format("Follow-up '{}' has no days 'FROM to TO' in assets/outcomes.json.", follow_up.key)};
  if (!IsDate(case_date))
    return Error{ErrorCode::kNotComputable,
                 "The case has no date, so it can't be told when to look again: set its date first."};
  return Planned(follow_up.key, WindowAfter(case_date, from, to));
}

Result<EditGroup> TickOffFollowUp(const std::string& key, const std::string& on, const std::string& today,
                                  const CaseRecord& record, const std::vector<NamedKey>& known) {
  const auto refused = [&](const std::string& why) {
    return Error{ErrorCode::kBadCall,
                 fmt::format("Follow-up '{}' can't have been done on {}: {}.", key, on, why)};
  };
  const bool is_known =
      std::any_of(known.begin(), known.end(), [&](const NamedKey& entry) { return entry.key == key; });
  if (!is_known && !record.extra.contains(std::string(kPlanned) + key))
    return refused("it is neither planned for this case nor in assets/outcomes.json");
  if (!record.date.empty() && on < record.date)
    return refused(fmt::format("the operation was on {}", record.date));
  if (on > today) return refused(fmt::format("today is {}", today));
  return EditGroup{"Follow-up done", {SetCaseField{"extra.follow_up_done." + key, on}}};
}

}  // namespace afterscope
