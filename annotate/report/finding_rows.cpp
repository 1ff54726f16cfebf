// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/finding_rows.hpp"

#include "annotate/report/build/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace afterscope {

namespace {

std::string Raised(std::size_t number) {
  static constexpr std::array<const char*, 10> kDigits{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
  std::string out;
  for (const char digit : fmt::format("{}", number)) out += kDigits.at(static_cast<std::size_t>(digit - '0'));
  return out;
}

// A caution as a sentence: a small first letter made large, a full stop at the end.
std::string Sentence(std::string text) {
  if (text.empty()) return text;
  if (text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 'a' + 'A');
  if (text.back() != '.' && text.back() != '!' && text.back() != '?') text += '.';
  return text;
}

std::size_t NumberOf(const std::string& note, std::vector<std::string>& notes) {
  const auto found = std::find(notes.begin(), notes.end(), note);
  if (found != notes.end()) return static_cast<std::size_t>(found - notes.begin()) + 1;
  notes.push_back(note);
  return notes.size();
}

struct Missing {
  std::string reason;
  std::string labels;
};

void AddMissing(const ReportFinding& finding, std::vector<Missing>& missing) {
  std::string reason;
  for (const std::string& caution : finding.finding.measured.cautions)
    reason.append(reason.empty() ? "" : " ").append(Sentence(caution));
  const auto found = std::find_if(missing.begin(), missing.end(),
                                  [&](const Missing& known) { return known.reason == reason; });
  if (found == missing.end())
    missing.push_back({reason, finding.label});
  else
    found->labels.append("; ").append(finding.label);
}

}  // namespace

FindingRows RowsOf(const ReportModel& model, const std::vector<ReportFinding>& findings, bool with_notes) {
  FindingRows out;
  std::vector<std::string> notes;
  std::vector<Missing> missing;
  for (const ReportFinding& finding : findings) {
    if (!finding.finding.measured.estimate) {
      AddMissing(finding, missing);
      continue;
    }
    FindingRows::Row row{&finding, TextOf(model, finding), finding.label};
    for (const std::string& caution : finding.finding.measured.cautions)
      if (with_notes) row.label.append("\u202f").append(Raised(NumberOf(Sentence(caution), notes)));
    out.rows.push_back(std::move(row));
  }
  for (std::size_t i = 0; i < notes.size(); ++i) out.notes.push_back(Raised(i + 1) + "\u2009" + notes[i]);
  for (const Missing& entry : missing)
    out.missing.push_back(FillBraces(model.words.Text("findings.missing"), {entry.labels, entry.reason}));
  return out;
}

}  // namespace afterscope
