// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <cstdint>

namespace afterscope {
namespace {

// Length of the UTF-8 sequence that starts with `lead`, 0 if none does.
std::size_t SequenceLength(unsigned char lead) {
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead < 0xE0) return 2;
  if (lead >= 0xE0 && lead < 0xF0) return 3;
  if (lead >= 0xF0 && lead < 0xF5) return 4;
  return 0;
}

bool IsSequence(std::string_view bytes) {
  for (std::size_t i = 1; i < bytes.size(); ++i)
    if ((static_cast<unsigned char>(bytes[i]) & 0xC0) != 0x80) return false;
  if (bytes.size() < 3) return true;
  const auto lead = static_cast<unsigned char>(bytes[0]);
  const auto second = static_cast<unsigned char>(bytes[1]);
  if (lead == 0xE0) return second >= 0xA0;  // not overlong
  if (lead == 0xED) return second < 0xA0;   // no surrogate
  if (lead == 0xF0) return second >= 0x90;
  if (lead == 0xF4) return second < 0x90;  // at most U+10FFFF
  return true;
}

std::optional<int> DigitsFrom(std::string_view text) {
  int value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (problem != std::errc{} || end != text.data() + text.size() || text.front() == '-') return std::nullopt;
  return value;
}

}  // namespace

bool IsCleanText(std::string_view text) {
  while (!text.empty()) {
    const std::size_t length = SequenceLength(static_cast<unsigned char>(text.front()));
    if (length == 0 || length > text.size() || text.front() == '\0' || !IsSequence(text.substr(0, length)))
      return false;
    text.remove_prefix(length);
  }
  return true;
}

bool IsDate(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  const auto year = DigitsFrom(text.substr(0, 4));
  const auto month = DigitsFrom(text.substr(5, 2));
  const auto day = DigitsFrom(text.substr(8, 2));
  if (!year || !month || !day) return false;
  return std::chrono::year_month_day(std::chrono::year(*year),
                                     std::chrono::month(static_cast<unsigned>(*month)),
                                     std::chrono::day(static_cast<unsigned>(*day)))
      .ok();
}

std::optional<double> NumberFrom(std::string_view text) {
  text = Trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || problem != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
    return std::nullopt;
  return value;
}

std::string TextFrom(double number) { return fmt::format("{}", number); }

std::string_view Trimmed(std::string_view text) {
  constexpr std::string_view kSpace = " \t\r\n";
  const auto first = text.find_first_not_of(kSpace);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kSpace) - first + 1);
}

std::vector<std::string> SplitText(std::string_view text, char separator) {
  std::vector<std::string> parts;
  if (Trimmed(text).empty()) return parts;
  for (;;) {
    const auto at = text.find(separator);
    parts.emplace_back(Trimmed(text.substr(0, at)));
    if (at == std::string_view::npos) return parts;
    text.remove_prefix(at + 1);
  }
}

std::string JoinText(const std::vector<std::string>& parts, std::string_view separator) {
  return fmt::format("{}", fmt::join(parts, separator));
}

std::string FolderNameOf(std::string_view words) {
  constexpr std::size_t kMostName = 100;  // file systems take 255
  std::string name;
  for (const char c : words.substr(0, kMostName)) {
    const bool plain =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    name += plain ? c : '-';
  }
  return name.empty() ? "case" : name;
}

std::string TakeName(const std::string& name, std::set<std::string>& taken) {
  std::string own = name;
  for (int number = 2; !taken.insert(own).second; ++number) own = fmt::format("{}-{}", name, number);
  return own;
}

}  // namespace afterscope
