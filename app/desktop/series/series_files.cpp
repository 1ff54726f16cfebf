// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_files.hpp"

#include "annotate/exchange/delimited_text.hpp"
#include "annotate/exchange/series_json.hpp"
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/jobs/series/series_logbook.hpp"
#include "annotate/jobs/series/series_person.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "annotate/report/series/person_reports.hpp"
#include "annotate/report/series/series_report.hpp"
#include "annotate/store/user_file.hpp"
#include "app/common/assets.hpp"
#include "app/common/document_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <memory>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostTableBytes = 64LL << 20;

std::string Base(SeriesPaper paper) {
  switch (paper) {
    case SeriesPaper::kSeries:
    case SeriesPaper::kTable:
      return "series";
    case SeriesPaper::kProgress:
      return "progress";
    case SeriesPaper::kPortfolio:
      return "portfolio";
    case SeriesPaper::kLogbook:
      return "logbook";
  }
  return "series";
}

bool IsTable(SeriesPaper paper) { return paper == SeriesPaper::kTable || paper == SeriesPaper::kLogbook; }

Result<PageMaker> WritePages(SheetDocument document, const std::string& path, FileSystem& files) {
  const SheetFileOptions how = DocumentOptions("");
  AFTERSCOPE_TRY(WriteDocument(document, path, how, files));
  return PageMaker([how, document = std::make_shared<const SheetDocument>(std::move(document))](
                       int page, double pixels_per_point) {
    return MakeDocumentPage(*document, how, page, pixels_per_point);
  });
}

Result<PageMaker> WriteTable(const std::string& table, const std::string& path, FileSystem& files) {
  AFTERSCOPE_TRY(WriteUserFile(files, path, table));
  return PageMaker();
}

Result<PageMaker> WriteTo(const std::string& path, SeriesPaper paper, CaseIndex& index,
                          const SeriesModel& model, const Progress& progress, const StopQuery& stop,
                          FileSystem& files) {
  AFTERSCOPE_ASSIGN(const ReportWords words, LoadReportWords(AssetsFolder() + "/reports/words.json"));
  if (paper == SeriesPaper::kSeries) return WritePages(SeriesReport(model, words), path, files);
  if (paper == SeriesPaper::kTable) return WriteTable(CsvFromSeries(model), path, files);
  AFTERSCOPE_ASSIGN(const PersonRecord person, GatherPerson(index, model, AssetsFolder(), progress, stop));
  if (paper == SeriesPaper::kLogbook) return WriteTable(CsvFromLogbook(person.logbook), path, files);
  return WritePages(paper == SeriesPaper::kProgress ? ProgressReport(model, person, words)
                                                    : PortfolioReport(model, person, words),
                    path, files);
}

}  // namespace

std::string SeriesPaperPath(SeriesPaper paper, const std::string& folder, const std::string& person) {
  std::string name = Base(paper);
  std::string code;
  for (const unsigned char c : person)
    if (std::isalnum(c) != 0 || c == '-' || c == '_') code += static_cast<char>(c);
  if (!code.empty()) name += "-" + code;
  return fmt::format("{}/{}.{}", folder, name, IsTable(paper) ? "csv" : "pdf");
}

Status TakePlan(SeriesOptions& options, const PlanChange& change) {
  AFTERSCOPE_ASSIGN(options.plan, LoadSeriesPlan(AssetsFolder() + "/series/usual.json"));
  options.assets_folder = AssetsFolder();
  return ChangePlan(options.plan, change);
}

Result<WrittenPaper> WriteSeriesPaper(SeriesPaper paper, const std::string& folder, SeriesOptions options,
                                      const PlanChange& change, const Progress& progress,
                                      const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_TRY(TakePlan(options, change));
  options.may_be_empty = paper == SeriesPaper::kPortfolio || paper == SeriesPaper::kLogbook;
  AFTERSCOPE_ASSIGN(const CurrentIndex current, OpenCurrentIndex(DefaultIndexPath(), folder, progress, stop));
  AFTERSCOPE_ASSIGN(const SeriesModel model, BuildSeries(*current.index, current.folder, options));
  WrittenPaper written{SeriesPaperPath(paper, folder, options.filter.operator_code), {}};
  AFTERSCOPE_ASSIGN(written.pages,
                    WriteTo(written.path, paper, *current.index, model, progress, stop, files));
  return written;
}

Result<TakenTable> TakeOutcomeTable(const std::string& path, const std::string& folder,
                                    const std::string& open_folder, const Progress& progress,
                                    const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostTableBytes));
  AFTERSCOPE_ASSIGN(const TextTable read, ReadDelimited(text, path));
  AFTERSCOPE_ASSIGN(const CurrentIndex current, OpenCurrentIndex(DefaultIndexPath(), folder, progress, stop));
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(*current.index, current.folder));
  const std::vector<IndexCase>& cases = records.cases;
  AFTERSCOPE_ASSIGN(const KnownColumns known, LoadKnownColumns(AssetsFolder()));
  AFTERSCOPE_ASSIGN(OutcomeTable table, OutcomesFromTable(read, known, cases));
  TakenTable taken;
  const auto others = std::stable_partition(table.rows.begin(), table.rows.end(),
                                            [&](const OutcomeRow& row) { return row.folder == open_folder; });
  const std::size_t count = table.rows.size();
  taken.of_open_case.assign(table.rows.begin(), others);
  table.rows.erase(table.rows.begin(), others);
  AFTERSCOPE_TRY(KeepOutcomes(table, files));
  taken.words = fmt::format("Brought in for {} case{}.", count, count == 1 ? "" : "s");
  if (!table.cautions.empty())
    taken.words += fmt::format(
        " Left out: {}{}", table.cautions.front(),
        table.cautions.size() > 1 ? fmt::format(" And {} more.", table.cautions.size() - 1) : std::string());
  return taken;
}

}  // namespace afterscope
