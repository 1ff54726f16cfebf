// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/trail_memory.hpp"

#include "annotate/store/json_text.hpp"
#include "metrics/follow/tip_sight.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 256LL << 20;
constexpr JsonLimits kLimits{kMostBytes, 8, 32'000'000, 65536};
constexpr std::size_t kNumbers = 16, kItems = kNumbers + 1;  // of a candidate; the last is its glimpse
constexpr double kMostWalks = 2 * kTipSights.size(), kAllWalks = (1 << (2 * kTipSights.size())) - 1;
// A glimpse as text: a character a value, in steps that do not matter.
constexpr char kZero = 'P';
constexpr int kStep = 3;

double Short(double value) { return std::round(value * 1e4) / 1e4; }

std::string TextOf(const TipGlimpse& glimpse) {
  std::string text;
  for (const std::int8_t value : glimpse.values)
    text += static_cast<char>(kZero + std::lround(value / static_cast<double>(kStep)));
  return text;
}

// False where that is not the text of one.
bool GlimpseFrom(const Json& json, TipGlimpse& out) {
  const auto* text = json.get_ptr<const std::string*>();
  if (!text || text->size() != out.values.size()) return false;
  for (std::size_t i = 0; i < text->size(); ++i)
    out.values[i] = static_cast<std::int8_t>(std::clamp(kStep * ((*text)[i] - kZero), -127, 127));
  return true;
}

Json RowOf(Pts at, const std::vector<TipCandidate>& candidates) {
  Json row = Json::array({at.ticks});
  for (const TipCandidate& c : candidates) {
    const TipEvidence& e = c.evidence;
    for (const double value :
         {c.pose.tip.x, c.pose.tip.y, c.pose.shaft.degrees(), c.odds, e.by_ground ? 1.0 : 0.0, e.score, e.fit,
          e.behind, e.beyond, e.goes_on, e.off_pivot, e.seconds, e.forth, e.back,
          static_cast<double>(e.walked_by), static_cast<double>(e.arrived)})
      row.push_back(Short(value));
    row.push_back(TextOf(c.glimpse));
  }
  return row;
}

bool AddRow(const Json& row, SeenOnFrames& out) {
  if (!row.is_array() || row.size() % kItems != 1 || !row[0].is_number_integer()) return false;
  std::vector<TipCandidate>& candidates = out[Pts{row[0].get<std::int64_t>()}];
  for (std::size_t i = 1; i < row.size(); i += kItems) {
    std::array<double, kNumbers> v{};
    for (std::size_t k = 0; k < kNumbers; ++k) {
      if (!row[i + k].is_number()) return false;
      v[k] = row[i + k].get<double>();
    }
    TipCandidate& c = candidates.emplace_back();
    c.pose = {{v[0], v[1]}, Angle::Degrees(v[2])}, c.odds = v[3];
    TipEvidence& e = c.evidence;
    e.by_ground = v[4] != 0, e.score = v[5], e.fit = v[6], e.behind = v[7], e.beyond = v[8], e.goes_on = v[9];
    e.off_pivot = v[10], e.seconds = v[11], e.forth = v[12], e.back = v[13];
    e.walked_by = static_cast<std::uint8_t>(std::clamp(v[14], 0.0, kAllWalks));
    e.arrived = static_cast<int>(std::clamp(v[15], 0.0, kMostWalks));
    if (!GlimpseFrom(row[i + kNumbers], c.glimpse)) return false;
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
