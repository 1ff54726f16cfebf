// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/visit_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <iterator>

namespace afterscope {
namespace {

constexpr std::string_view kApart = "\t\n\\";
constexpr std::string_view kTold = "tn\\";

void AddWord(const std::string& word, std::string& out) {
  for (const char sign : word)
    if (const auto at = kApart.find(sign); at == std::string_view::npos)
      out += sign;
    else
      out.append(1, '\\').append(1, kTold[at]);
}

// Takes one part after another; once one is missing or is no number, `ok` stays false.
struct PartReader {
  std::string_view rest;
  bool ok = true;

  std::string_view Part(char end) {
    const auto at = rest.find(end);
    ok = ok && at != std::string_view::npos;
    if (!ok) return {};
    const std::string_view part = rest.substr(0, at);
    rest.remove_prefix(at + 1);
    return part;
  }

  std::string Word() {
    const std::string_view part = Part('\t');
    if (part.find('\\') == std::string_view::npos) return std::string(part);
    std::string word;
    for (std::size_t i = 0; i < part.size(); ++i) {
      const auto at = part[i] == '\\' && i + 1 < part.size() ? kTold.find(part[++i]) : std::string_view::npos;
      word += at == std::string_view::npos ? part[i] : kApart[at];
    }
    return word;
  }

  template <class Value>
  Value Number(char end = '\t') {
    const std::string_view part = Part(end);
    Value value{};
    if (ok) ok = std::from_chars(part.data(), part.data() + part.size(), value).ec == std::errc();
    return value;
  }
};

}  // namespace

std::string TextOfVisits(const std::vector<IndexVisit>& visits) {
  std::string text;
  for (const IndexVisit& v : visits) {
    AddWord(v.step, text);
    text += '\t';
    AddWord(v.operator_code, text);
    fmt::format_to(std::back_inserter(text), "\t{}\t{}\t{}\t{}\t{}\n", v.taken_over ? 1 : 0, v.start_s,
                   v.end_s, v.start.recording, v.start.pts.ticks);
  }
  return text;
}

std::vector<IndexVisit> VisitsFromText(std::string_view text) {
  std::vector<IndexVisit> visits;
  visits.reserve(static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')));
  PartReader reader{text};
  while (!reader.rest.empty()) {
    IndexVisit visit;
    visit.step = reader.Word();
    visit.operator_code = reader.Word();
    visit.taken_over = reader.Number<int>() != 0;
    visit.start_s = reader.Number<double>();
    visit.end_s = reader.Number<double>();
    visit.start.recording = reader.Number<int>();
    visit.start.pts.ticks = reader.Number<std::int64_t>('\n');
    if (!reader.ok) break;
    visits.push_back(std::move(visit));
  }
  return visits;
}

}  // namespace afterscope
