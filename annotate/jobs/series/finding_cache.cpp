// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/finding_cache.hpp"

#include "annotate/case/review_access.hpp"
#include "annotate/media/digest.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/json_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kMostCacheBytes = 16LL << 20;
constexpr std::size_t kColumns = 9;

std::string PathOf(const std::string& case_folder, const std::string& review) {
  return fmt::format("{}/cache/findings-{}.json", case_folder, review);
}

Json RowFrom(const IndexFinding& f) {
  Json row = Json::array({f.name, f.step, f.operator_code});
  row.push_back(f.value ? Json(*f.value) : Json());
  row.push_back(f.low);
  row.push_back(f.high);
  row.push_back(f.unit);
  row.push_back(f.frame ? Json(f.frame->recording) : Json());
  row.push_back(f.frame ? f.frame->pts.ticks : 0);
  return row;
}

IndexFinding FindingFrom(const Json& row) {
  IndexFinding f;
  f.name = row[0].get<std::string>();
  f.step = row[1].get<std::string>();
  f.operator_code = row[2].get<std::string>();
  if (!row[3].is_null()) f.value = row[3].get<double>();
  f.low = row[4].get<double>();
  f.high = row[5].get<double>();
  f.unit = row[6].get<std::string>();
  if (!row[7].is_null()) f.frame = FrameRef{row[7].get<int>(), Pts{row[8].get<std::int64_t>()}};
  return f;
}

std::vector<IndexFinding> FindingsFrom(const Json& rows, bool times) {
  std::vector<IndexFinding> findings;
  for (const Json& row : rows) {
    IndexFinding finding = FindingFrom(row);
    if (IsTime(finding) == times) findings.push_back(std::move(finding));
  }
  return findings;
}

bool AreRows(const Json& rows) {
  return std::all_of(rows.begin(), rows.end(), [](const Json& row) {
    return row.is_array() && row.size() == kColumns && (row[7].is_null() || row[7].is_number_integer()) &&
           row[8].is_number_integer();
  });
}

}  // namespace

bool IsTime(const IndexFinding& finding) { return finding.name.starts_with("time."); }

bool IsMarked(const Review& review) { return !review.marks.empty() || !review.trails.empty(); }

bool NeedsVisits(const ReviewSnapshot& review) {
  return !review.review.trails.empty() || review.has_followed;
}

FindingSource FindingSourceOf(const CaseSnapshot& snapshot, const ReviewSnapshot& review) {
  const Json fields = JsonFrom(snapshot.record);
  Json times = Json::array({review.times_digest});
  Json marks = Json::array({review.marks_digest});
  for (const char* field : {"operator_code", "supervisor_code", "recordings"}) times.push_back(fields[field]);
  for (const char* field : {"eye", "planned_rhexis_mm", "planned_rhexis_kind", "optic_diameter_mm",
                            "corneal_diameter_mm", "corneal_power_d", "chamber_depth_mm", "seat_clock_hour",
                            "picture_mirrored", "picture_turned_deg", "orientation_confirmed", "recordings"})
    marks.push_back(fields[field]);
  if (NeedsVisits(review)) marks.push_back(times);
  for (const ReviewSnapshot& other : snapshot.reviews)
    if (IsMarked(other.review) && other.review.id != review.review.id)
      for (Json part : {Json(other.marks_digest), Json(SummaryOf(other.review).version_of.value),
                        Json(other.review.version)})
        marks.push_back(std::move(part));
  return {Sha256Hex(CompactText(times)), Sha256Hex(CompactText(marks))};
}

CachedFindings ReadFindingCache(const std::string& case_folder, const std::string& review,
                                const FindingSource& source, FileSystem& files) {
  CachedFindings cached;
  const std::string path = PathOf(case_folder, review);
  const auto text = files.ReadAll(path, kMostCacheBytes);
  if (!text.ok()) return cached;
  const auto json = ParseJson(*text, path);
  if (!json.ok()) return cached;
  try {
    const Json& rows = json->at("findings");
    if (json->value("measures_version", 0) != kMeasuresVersion || !AreRows(rows)) return cached;
    if (json->value("times", std::string()) == source.times) cached.times = FindingsFrom(rows, true);
    if (json->value("marks", std::string()) == source.marks) cached.others = FindingsFrom(rows, false);
    return cached;
  } catch (const Json::exception&) {
    return {};  // of another form: computed anew
  }
}

void WriteFindingCache(const std::string& case_folder, const std::string& review, const FindingSource& source,
                       const std::vector<IndexFinding>& findings, FileSystem& files) {
  Json json{{"measures_version", kMeasuresVersion},
            {"times", source.times},
            {"marks", source.marks},
            {"findings", Json::array()}};
  for (const IndexFinding& finding : findings) json["findings"].push_back(RowFrom(finding));
  if (!files.MakeFolder(case_folder + "/cache").ok()) return;
  static_cast<void>(ReplaceFile(files, PathOf(case_folder, review), ReadableText(json)));
}

}  // namespace afterscope
