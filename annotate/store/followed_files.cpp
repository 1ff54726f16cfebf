// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/followed_files.hpp"

#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr const char* kEyeFormat = "afterscope followed eye";
constexpr const char* kTrailFormat = "afterscope followed trail";
constexpr int kVersion = 1;
constexpr double kMostPoints = 1e9;
constexpr std::int64_t kMostFollowedBytes = 256LL << 20;
constexpr JsonLimits kLimits{kMostFollowedBytes, 8, 32'000'000, 65536};

std::string FolderOf(const std::string& case_folder, const ReviewId& review) {
  return fmt::format("{}/reviews/{}/followed", case_folder, review.value);
}

Status Save(const std::string& folder, const std::string& name, const Json& json, FileSystem& files) {
  AFTERSCOPE_TRY(MakeFolders(files, folder));
  return ReplaceFile(files, fmt::format("{}/{}", folder, name), ReadableText(json));
}

// Five decimals are more than any of it is worth.
double Short(double value) { return std::round(value * 1e5) / 1e5; }

void Append(Json& row, const EyeOutline& o) {
  for (const double value :
       {o.ellipse.center.x, o.ellipse.center.y, o.ellipse.half_long, o.ellipse.half_short,
        o.ellipse.angle.degrees(), o.center_sd, o.diameter_sd, o.visible, o.trust})
    row.push_back(Short(value));
}
constexpr std::size_t kOutlineNumbers = 9;

Json RowOf(const EyeAtFrame& f) {
  return Json::array({f.at.pts.ticks, Short(f.pose.origin.x), Short(f.pose.origin.y), Short(f.pose.zoom),
                      Short(f.pose.turn.degrees()), f.pose.points, Short(f.pose.off_px),
                      Short(f.pose.trust)});
}

Json RowOf(Pts at, const FoundEye& eye, double sharpness) {
  Json row = Json::array({at.ticks});
  Append(row, eye.limbus);
  Append(row, eye.pupil);
  row.push_back(Short(sharpness));
  return row;
}

Json RowOf(const FollowedTip& t) {
  Json row = Json::array({t.at.pts.ticks, Short(t.confidence), t.by_hand});
  if (t.tip) row.push_back(Short(t.tip->x)), row.push_back(Short(t.tip->y));
  return row;
}

// One row of a list: a time in ticks, then finite numbers.
class Row {
 public:
  Row(const Json& json, std::size_t least, std::size_t most) {
    if (!json.is_array() || json.size() < least || json.size() > most || !json[0].is_number_integer()) return;
    ticks_ = json[0].get<std::int64_t>();
    if (!IsSaneTime(Pts{ticks_})) return;
    for (std::size_t i = 1; i < json.size(); ++i) {
      if (!json[i].is_number() && !json[i].is_boolean()) return;
      numbers_.push_back(json[i].is_boolean() ? (json[i].get<bool>() ? 1 : 0) : json[i].get<double>());
    }
    good_ = true;
  }
  bool good() const { return good_; }
  Pts at() const { return {ticks_}; }
  std::size_t left() const { return numbers_.size() - next_; }
  double Next() { return numbers_[next_++]; }
  PointPx NextPoint() {
    const double x = Next();
    return {x, Next()};
  }

 private:
  bool good_ = false;
  std::int64_t ticks_ = 0;
  std::vector<double> numbers_;
  std::size_t next_ = 0;
};

EyeOutline NextOutline(Row& row) {
  EyeOutline o;
  o.ellipse.center = row.NextPoint();
  o.ellipse.half_long = row.Next(), o.ellipse.half_short = row.Next();
  o.ellipse.angle = Angle::Degrees(row.Next());
  o.center_sd = row.Next(), o.diameter_sd = row.Next();
  o.visible = row.Next(), o.trust = row.Next();
  return o;
}

std::optional<EyeSight> SightFrom(const Json& json, int recording) {
  Row row(json, 2 + 2 * kOutlineNumbers, 2 + 2 * kOutlineNumbers);
  if (!row.good()) return std::nullopt;
  EyeSight sight;
  sight.at = {recording, row.at()};
  sight.eye.limbus = NextOutline(row);
  sight.eye.pupil = NextOutline(row);
  sight.sharpness = row.Next();
  return sight;
}

std::optional<EyeAtFrame> EyeAtFrameFrom(const Json& json, int recording) {
  Row row(json, 8, 8);
  if (!row.good()) return std::nullopt;
  EyeAtFrame frame;
  frame.at = {recording, row.at()};
  frame.pose.origin = row.NextPoint();
  frame.pose.zoom = row.Next();
  frame.pose.turn = Angle::Degrees(row.Next());
  frame.pose.points = static_cast<std::size_t>(std::clamp(row.Next(), 0.0, kMostPoints));
  frame.pose.off_px = row.Next(), frame.pose.trust = row.Next();
  if (!(frame.pose.zoom > 0)) return std::nullopt;
  return frame;
}

std::optional<FollowedTip> TipFrom(const Json& json, int recording) {
  Row row(json, 3, 5);
  if (!row.good() || row.left() == 3) return std::nullopt;
  FollowedTip tip;
  tip.at = {recording, row.at()};
  tip.confidence = row.Next(), tip.by_hand = row.Next() != 0;
  if (row.left() == 2) tip.tip = row.NextPoint();
  return tip;
}

// Reads the items of a list, which must be in order of time.
template <class Item, class From>
void ReadRows(JsonReader& reader, const char* name, int recording, const From& from, std::vector<Item>& out) {
  reader.ReadEach(name, [&](const Json& json) {
    auto item = from(json, recording);
    if (!item || (!out.empty() && !(out.back().at < item->at)))
      return reader.Fail(name, "a row that is not understood");
    out.push_back(std::move(*item));
  });
}

// False where the file is not of that format.
bool ReadHead(JsonReader& reader, const char* expected) {
  std::string format;
  int version = 0;
  reader.Read("format", format), reader.Read("version", version);
  return format == expected && version == kVersion;
}

std::optional<FollowedEye> EyeFrom(const Json& json) {
  std::string problem;
  JsonReader reader(json, "a followed eye", problem);
  if (!ReadHead(reader, kEyeFormat)) return std::nullopt;
  FollowedEye eye;
  reader.Read("recording", eye.recording);
  reader.Read("input_digest", eye.input_digest);
  reader.Read("start", eye.range.start), reader.Read("end", eye.range.end);
  reader.Read("complete", eye.complete);
  const Json* reference = reader.Member("reference");
  const auto sight = reference ? SightFrom(*reference, eye.recording) : std::nullopt;
  if (!sight || eye.recording < 0) return std::nullopt;
  eye.reference = sight->at.pts, eye.reference_eye = sight->eye;
  ReadRows(reader, "frames", eye.recording, EyeAtFrameFrom, eye.frames);
  ReadRows(reader, "sights", eye.recording, SightFrom, eye.sights);
  if (!problem.empty()) return std::nullopt;
  return eye;
}

std::optional<FollowedTrail> TrailFrom(const Json& json) {
  std::string problem;
  JsonReader reader(json, "a followed trail", problem);
  if (!ReadHead(reader, kTrailFormat)) return std::nullopt;
  FollowedTrail trail;
  reader.Read("trail", trail.trail.value);
  reader.Read("input_digest", trail.input_digest);
  reader.Read("recording", trail.recording);
  reader.Read("start", trail.range.start), reader.Read("end", trail.range.end);
  reader.Read("least_confidence", trail.least_confidence);
  ReadRows(reader, "tips", trail.recording, TipFrom, trail.tips);
  if (!problem.empty() || trail.recording < 0) return std::nullopt;
  return trail;
}

}  // namespace

Status SaveFollowed(const std::string& case_folder, const ReviewId& review, const FollowedEye& eye,
                    FileSystem& files) {
  Json frames = Json::array(), sights = Json::array();
  for (const EyeAtFrame& f : eye.frames) frames.push_back(RowOf(f));
  for (const EyeSight& s : eye.sights) sights.push_back(RowOf(s.at.pts, s.eye, s.sharpness));
  const Json json{{"format", kEyeFormat},           {"version", kVersion},
                  {"recording", eye.recording},     {"input_digest", eye.input_digest},
                  {"start", eye.range.start.ticks}, {"end", eye.range.end.ticks},
                  {"complete", eye.complete},       {"reference", RowOf(eye.reference, eye.reference_eye, 0)},
                  {"frames", std::move(frames)},    {"sights", std::move(sights)}};
  return Save(FolderOf(case_folder, review), fmt::format("eye-{}.json", eye.recording), json, files);
}

Status SaveFollowed(const std::string& case_folder, const ReviewId& review, const FollowedTrail& trail,
                    FileSystem& files) {
  Json tips = Json::array();
  for (const FollowedTip& t : trail.tips) tips.push_back(RowOf(t));
  const Json json{{"format", kTrailFormat},       {"version", kVersion},
                  {"trail", trail.trail.value},   {"input_digest", trail.input_digest},
                  {"recording", trail.recording}, {"start", trail.range.start.ticks},
                  {"end", trail.range.end.ticks}, {"least_confidence", trail.least_confidence},
                  {"tips", std::move(tips)}};
  return Save(FolderOf(case_folder, review),
              fmt::format("trail-{}-{}.json", trail.trail.value, trail.recording), json, files);
}

Followed LoadFollowed(const std::string& case_folder, const ReviewId& review, FileSystem& files) {
  Followed out;
  const std::string folder = FolderOf(case_folder, review);
  const auto names = files.List(folder);
  if (!names.ok()) return out;
  for (const std::string& name : *names) {
    if (!name.ends_with(".json")) continue;
    const auto text = files.ReadAll(fmt::format("{}/{}", folder, name), kMostFollowedBytes);
    if (!text.ok()) continue;
    const auto json = ParseJson(*text, name, kLimits);
    if (!json.ok() || !json->is_object()) continue;
    if (auto eye = EyeFrom(*json)) out.eyes.push_back(std::move(*eye));
    if (auto trail = TrailFrom(*json)) out.trails.push_back(std::move(*trail));
  }
  return out;
}

}  // namespace afterscope
