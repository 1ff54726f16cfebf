// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/person_reports.hpp"

#include <fmt/format.h>

#include <array>
#include <map>

namespace afterscope {
namespace {

using PartCounts = std::array<int, 4>;  // by LogbookPart

DocumentSection NumbersSection(const PersonRecord& person) {
  DocumentSection section{"Numbers", {}};
  std::map<std::string, PartCounts> years;
  PartCounts all{};
  for (const LogbookEntry& entry : person.logbook) {
    const auto part = static_cast<std::size_t>(entry.part);
    ++years[entry.date.size() >= 4 ? entry.date.substr(0, 4) : "no date"][part];
    ++all[part];
  }
  DocumentTable table{
      {"Year", "Performed", "Part performed", "Assisted", "Supervised"}, {0.2, 0.2, 0.2, 0.2, 0.2}, {}, 1};
  const auto row = [&](const std::string& name, const PartCounts& counts) {
    std::vector<std::string> cells{name};
    for (const int count : counts) cells.push_back(fmt::format("{}", count));
    table.rows.push_back(std::move(cells));
  };
  for (const auto& [year, counts] : years) row(year, counts);
  row("All", all);
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection OutcomesSection(const PersonRecord& person) {
  DocumentSection section{"Outcomes", {}};
  if (person.outcomes.empty()) {
    section.blocks.emplace_back(
        DocumentText{"No outcomes have been entered for these cases.", Voice::kPlain});
    return section;
  }
  section.blocks.emplace_back(
      DocumentTable{{"Outcome", "Cases", "Middle", "Range"}, {0.46, 0.12, 0.18, 0.24}, person.outcomes, 1});
  return section;
}

}  // namespace

SheetDocument PortfolioReport(const SeriesModel& model, const PersonRecord& person) {
  SheetDocument document;
  document.title = "Portfolio report";
  document.subtitle = person.code;
  document.facts = SeriesFacts(model);
  document.footer = kSeriesFooter;
  document.sections = {NumbersSection(person),  CaseMixSection(model), ComplicationsSection(model),
                       OutcomesSection(person), FiguresSection(model), ChartsSection(model),
                       CautionsSection(model)};
  return document;
}

}  // namespace afterscope
