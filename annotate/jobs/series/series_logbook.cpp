// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_logbook.hpp"

#include "annotate/case/text.hpp"
#include "annotate/exchange/csv.hpp"
#include "annotate/jobs/series/select_cases.hpp"

#include <fmt/format.h>

#include <optional>

namespace afterscope {
namespace {

struct OwnTime {
  double own = 0;
  double total = 0;
};

OwnTime TimeOf(const std::string& who, const std::vector<IndexVisit>& visits) {
  OwnTime time;
  for (const IndexVisit& visit : visits) {
    time.total += visit.end_s - visit.start_s;
    if (visit.operator_code == who) time.own += visit.end_s - visit.start_s;
  }
  return time;
}

std::optional<LogbookPart> PartOf(const std::string& who, const IndexCase& record, const OwnTime& time) {
  if (record.operator_code == who)
    return time.own < time.total ? LogbookPart::kPart : LogbookPart::kPerformed;
  if (record.supervisor_code == who) return LogbookPart::kSupervised;
  if (time.own > 0) return LogbookPart::kPart;
  const auto assistant = record.extra.find("assistant");
  if (assistant != record.extra.end() && assistant->second == who) return LogbookPart::kAssisted;
  return std::nullopt;
}

std::string ShareText(const LogbookEntry& entry) {
  return entry.total_s > 0 ? fmt::format("{:.0f}", 100 * entry.own_s / entry.total_s) : "";
}

std::string ComplicationsText(const LogbookEntry& entry) {
  if (!entry.complications.empty()) return JoinText(entry.complications, "; ");
  return entry.complications_known ? "none" : "not known";
}

}  // namespace

Result<std::vector<LogbookEntry>> LogbookOf(CaseIndex& index, const std::string& folder,
                                            const SeriesFilter& filter) {
  const std::string& who = filter.operator_code;
  if (who.empty())
    return Error{ErrorCode::kBadCall, "A logbook is one person's: say whose by --operator CODE."};
  AFTERSCOPE_ASSIGN(const SeriesRecords records, RecordsUnder(index, folder));
  AFTERSCOPE_ASSIGN(auto visits, index.Visits());
  AFTERSCOPE_ASSIGN(auto complications, index.Moments("complication"));
  std::vector<LogbookEntry> entries;
  for (const IndexCase& record : records.cases) {
    if (!PassesRecord(filter, record)) continue;
    const IndexReview* review = ReviewOfEither(filter, record);
    const OwnTime time = review ? TimeOf(who, visits[review->id]) : OwnTime{};
    const auto part = PartOf(who, record, time);
    if (!part) continue;
    LogbookEntry entry{record.date,
                       record.code,
                       record.operation,
                       record.eye,
                       record.operator_code,
                       record.supervisor_code,
                       record.supervision_level,
                       *part,
                       time.own,
                       time.total,
                       record.difficulty,
                       {},
                       review && review->complications_known,
                       record.folder};
    if (review)
      for (const IndexMoment& moment : complications[review->id]) entry.complications.push_back(moment.key);
    entries.push_back(std::move(entry));
  }
  if (entries.empty())
    return Error{ErrorCode::kNotComputable,
                 fmt::format("'{}' had no part in any case under '{}'.", who, folder)};
  return entries;
}

const char* PartWords(LogbookPart part) {
  constexpr const char* kWords[] = {"performed", "part performed", "assisted", "supervised"};
  return kWords[static_cast<int>(part)];
}

std::string CsvFromLogbook(const std::vector<LogbookEntry>& entries) {
  std::string table = CsvLine({"date", "case", "operation", "eye", "part", "operator", "supervisor",
                               "supervision", "own_share_pct", "own_minutes", "difficulty", "complications"});
  for (const LogbookEntry& e : entries)
    table += CsvLine({e.date, CsvText(e.code), CsvText(e.operation), e.eye, PartWords(e.part),
                      CsvText(e.operator_code), CsvText(e.supervisor_code), CsvText(e.supervision_level),
                      ShareText(e), fmt::format("{:.1f}", e.own_s / 60),
                      CsvText(JoinText(e.difficulty, "; ")), CsvText(ComplicationsText(e))});
  return table;
}

}  // namespace afterscope
