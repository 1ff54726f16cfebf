// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/finding_csv.hpp"

#include "annotate/exchange/csv.hpp"
#include "annotate/exchange/exported_number.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace afterscope {
namespace {

std::string Frames(const Finding& finding) {
  std::vector<std::string> all;
  for (const FrameRef& f : finding.frames) all.push_back(fmt::format("{}:{}", f.recording, f.pts.ticks));
  return fmt::format("{}", fmt::join(all, " "));
}

std::string Marks(const Finding& finding) {
  std::vector<std::string> all;
  for (const MarkId& mark : finding.marks) all.push_back(mark.value);
  return fmt::format("{}", fmt::join(all, " "));
}

std::vector<std::string> Row(const Finding& finding) {
  const std::optional<Estimate>& e = finding.measured.estimate;
  const auto number = [&](double Estimate::*member) {
    const bool told = e && (e->HasLimits() || member == &Estimate::value);
    return told ? ExportedText((*e).*member) : std::string();
  };
  return {CsvText(finding.name),
          number(&Estimate::value),
          CsvText(finding.measured.unit),
          number(&Estimate::low),
          number(&Estimate::high),
          number(&Estimate::level),
          CsvText(finding.step.value_or("")),
          CsvText(finding.operator_code.value_or("")),
          Frames(finding),
          CsvText(Marks(finding)),
          CsvText(finding.trail ? finding.trail->value : ""),
          CsvText(finding.scale ? finding.scale->value : ""),
          CsvText(finding.measured.method),
          CsvText(fmt::format("{}", fmt::join(finding.measured.cautions, "; ")))};
}

}  // namespace

std::string CsvFromFindings(const std::vector<Finding>& findings) {
  std::string out = CsvLine({"name", "value", "unit", "low", "high", "level", "step", "operator", "frames",
                             "marks", "trail", "scale", "method", "cautions"});
  for (const Finding& finding : findings) out += CsvLine(Row(finding));
  return out;
}

}  // namespace afterscope
