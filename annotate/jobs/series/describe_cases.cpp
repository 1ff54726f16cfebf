// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_report.hpp"

#include <fmt/format.h>

#include <string>
#include <vector>

namespace afterscope {
namespace {

using Lines = std::vector<std::string>;

std::string Number(std::size_t count) { return fmt::format("{}", count); }
std::string Number(int count) { return fmt::format("{}", count); }

std::string ShareText(const Estimate& share, const ReportWords& words) {
  return SeriesText(words, "with_limits",
                    {FormatShare(share.value), FormatShare(share.low), FormatShare(share.high)});
}

Lines ComplicationLines(const SeriesModel& model, const ReportWords& words) {
  if (model.complications_known == 0) return {SeriesText(words, "complications.not_known")};
  Lines lines{SeriesText(words, "complications.known",
                         {Number(model.complications_known), Number(model.cases.size())})};
  if (model.complications.empty()) lines.push_back(SeriesText(words, "complications.none"));
  for (const SeriesComplication& c : model.complications)
    lines.push_back(c.share.value ? SeriesText(words, "complications.said",
                                               {c.name, Number(c.cases), ShareText(*c.share.value, words)})
                                  : fmt::format("{}: {}", c.name, c.cases));
  return lines;
}

std::string StratumLine(const SeriesStratum& stratum, const ReportWords& words) {
  std::string line = stratum.cases == 1
                         ? SeriesText(words, "mix.said_one", {stratum.name})
                         : SeriesText(words, "mix.said", {stratum.name, Number(stratum.cases)});
  if (stratum.whole_s.value)
    line += SeriesText(words, "mix.said.whole", {FormatLength(stratum.whole_s.value->median)});
  if (stratum.share.value)
    line += SeriesText(words, "mix.said.with",
                       {Number(stratum.with_complication), Number(stratum.complications_known),
                        ShareText(*stratum.share.value, words)});
  return line;
}

Lines MixLines(const SeriesModel& model, const ReportWords& words) {
  Lines lines;
  for (const SeriesStratum& stratum : model.strata)
    if (stratum.cases > 0) lines.push_back(StratumLine(stratum, words));
  lines.push_back(SeriesText(words, "mix.note"));
  return lines;
}

Lines PassageLines(const SeriesModel& model, const ReportWords& words) {
  Lines lines;
  const auto name = [&](const std::string& step, const char* none) {
    return step.empty() ? SeriesText(words, none) : model.step_names.at(step);
  };
  for (const StepPassage& passage : model.passages) {
    const std::string from = name(passage.from, "passages.beginning");
    const std::string to = name(passage.to, "passages.end");
    const std::string count = Number(static_cast<std::size_t>(passage.count));
    const std::string share = FormatShare(passage.share);
    lines.push_back(passage.gap_s ? SeriesText(words, "passages.said_gap",
                                               {from, to, count, share, FormatLength(passage.gap_s->median)})
                                  : SeriesText(words, "passages.said", {from, to, count, share}));
  }
  return lines;
}

}  // namespace

void DescribeCases(SeriesModel& model, const ReportWords& words) {
  model.complications_said = ComplicationLines(model, words);
  model.mix_said = MixLines(model, words);
  model.passages_said = PassageLines(model, words);
}

}  // namespace afterscope
