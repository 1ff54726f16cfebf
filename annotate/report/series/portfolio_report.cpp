// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/person_reports.hpp"

#include <fmt/format.h>

#include <array>
#include <map>

namespace afterscope {
namespace {

using PartCounts = std::array<int, 4>;  // by LogbookPart

DocumentSection NumbersSection(const PersonRecord& person, const ReportWords& words) {
  DocumentSection section{SeriesText(words, "numbers"), {}};
  std::map<std::string, PartCounts> years;
  PartCounts all{};
  for (const LogbookEntry& entry : person.logbook) {
    const auto part = static_cast<std::size_t>(entry.part);
    ++years[entry.date.size() >= 4 ? entry.date.substr(0, 4) : SeriesText(words, "numbers.undated")][part];
    ++all[part];
  }
  DocumentTable table{{SeriesText(words, "numbers.year"), SeriesText(words, "numbers.performed"),
                       SeriesText(words, "numbers.part"), SeriesText(words, "numbers.assisted"),
                       SeriesText(words, "numbers.supervised")},
                      {0.2, 0.2, 0.2, 0.2, 0.2},
                      {},
                      1};
  const auto row = [&](const std::string& name, const PartCounts& counts) {
    std::vector<std::string> cells{name};
    for (const int count : counts) cells.push_back(fmt::format("{}", count));
    table.rows.push_back(std::move(cells));
  };
  for (const auto& [year, counts] : years) row(year, counts);
  row(SeriesText(words, "numbers.all"), all);
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection OutcomesSection(const PersonRecord& person, const ReportWords& words) {
  DocumentSection section{SeriesText(words, "outcomes"), {}};
  if (person.outcomes.empty())
    section.blocks.emplace_back(DocumentText{SeriesText(words, "outcomes.none"), Voice::kPlain});
  else
    section.blocks.emplace_back(
        DocumentTable{{SeriesText(words, "outcomes.outcome"), SeriesText(words, "outcomes.cases"),
                       SeriesText(words, "outcomes.middle"), SeriesText(words, "outcomes.range")},
                      {0.46, 0.12, 0.18, 0.24},
                      person.outcomes,
                      1});
  return section;
}

}  // namespace

SheetDocument PortfolioReport(const SeriesModel& model, const PersonRecord& person,
                              const ReportWords& words) {
  SheetDocument document;
  document.title = SeriesText(words, "portfolio.title");
  document.subtitle = person.code;
  document.facts = SeriesFacts(model, words);
  document.footer = SeriesText(words, "footer");
  document.sections = {NumbersSection(person, words),      CaseMixSection(model, words),
                       ComplicationsSection(model, words), OutcomesSection(person, words),
                       FiguresSection(model, words),       ChartsSection(model, words),
                       CautionsSection(model, words),      MethodSection(model, words)};
  return document;
}

}  // namespace afterscope
