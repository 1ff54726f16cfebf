// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/trail_memory.hpp"

#include "annotate/store/json_text.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 256LL << 20;
constexpr JsonLimits kLimits{kMostBytes, 8, 32'000'000, 65536};
constexpr std::size_t kNumbers = 4;  // of a candidate

double Short(double value) { return std::round(value * 1e4) / 1e4; }

Json RowOf(Pts at, const std::vector<TipCandidate>& candidates) {
  Json row = Json::array({at.ticks});
  for (const TipCandidate& c : candidates)
    for (const double value : {c.pose.tip.x, c.pose.tip.y, c.pose.shaft.degrees(), c.score})
      row.push_back(Short(value));
  return row;
}

bool AddRow(const Json& row, SeenOnFrames& out) {
  if (!row.is_array() || row.size() % kNumbers != 1 || !row[0].is_number_integer()) return false;
  std::vector<TipCandidate>& candidates = out[Pts{row[0].get<std::int64_t>()}];
  for (std::size_t i = 1; i < row.size(); i += kNumbers) {
    for (std::size_t k = 0; k < kNumbers; ++k)
      if (!row[i + k].is_number()) return false;
    candidates.push_back(
        {{{row[i].get<double>(), row[i + 1].get<double>()}, Angle::Degrees(row[i + 2].get<double>())},
         row[i + 3].get<double>()});
  }
  return true;
}

}  // namespace

TrailMemory LoadTrailMemory(const std::string& path, FileSystem& files) {
  const auto text = files.ReadAll(path, kMostBytes);
  if (!text.ok()) return {};
  const auto json = ParseJson(*text, path, kLimits);
  if (!json.ok() || !json->is_object()) return {};
  TrailMemory out;
  for (const auto& [digest, rows] : json->items()) {
    if (!rows.is_array()) return {};
    for (const Json& row : rows)
      if (!AddRow(row, out[digest])) return {};
  }
  return out;
}

Status SaveTrailMemory(const std::string& path, const TrailMemory& memory, FileSystem& files) {
  Json json = Json::object();
  for (const auto& [digest, seen] : memory) {
    Json rows = Json::array();
    for (const auto& [at, candidates] : seen) rows.push_back(RowOf(at, candidates));
    json[digest] = std::move(rows);
  }
  AFTERSCOPE_TRY(MakeFolders(files, path.substr(0, path.rfind('/'))));
  return ReplaceFile(files, path, ReadableText(json));
}

}  // namespace afterscope
