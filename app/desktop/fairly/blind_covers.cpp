// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/blind_covers.hpp"

#include "annotate/jobs/clip/clip_frames.hpp"
#include "annotate/jobs/clip/find_text.hpp"
#include "annotate/store/case_session.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace afterscope {
namespace {

using Json = nlohmann::json;

constexpr int kVersion = 1;
constexpr std::int64_t kMostBytes = 1 << 20;
constexpr double kMargin = 2;  // pixels round found words: letters have soft edges

std::string KeptPath(const std::string& case_folder) { return case_folder + "/cache/burnt_in_words.json"; }

// What the areas were found in.
Json Sources(const CaseRecord& record) {
  Json sources = Json::array();
  for (const RecordingRef& ref : record.recordings)
    sources.push_back(Json::array({ref.fingerprint.sampled_sha256, ref.shape.end.ticks}));
  return sources;
}

std::optional<std::vector<FoundText>> Kept(const std::string& case_folder, const CaseRecord& record,
                                           FileSystem& files) {
  const auto text = files.ReadAll(KeptPath(case_folder), kMostBytes);
  const Json json = text.ok() ? Json::parse(*text, nullptr, false) : Json();
  if (!json.is_object() || json.value("version", Json()) != kVersion ||
      json.value("sources", Json()) != Sources(record))
    return std::nullopt;
  std::vector<FoundText> found;
  for (const Json& area : json.value("areas", Json::array())) {
    if (!area.is_array() || area.size() != 5 || !area[0].is_number_integer() ||
        !std::all_of(area.begin(), area.end(), [](const Json& number) { return number.is_number(); }))
      return std::nullopt;
    found.push_back({{area[0].get<int>(), Pts{0}}, {{area[1], area[2]}, {area[3], area[4]}}});
  }
  return found;
}

Status Keep(const std::string& case_folder, const CaseRecord& record, const std::vector<FoundText>& found,
            FileSystem& files) {
  Json areas = Json::array();
  for (const FoundText& text : found)
    areas.push_back({text.at.recording, text.area.corner.x, text.area.corner.y, text.area.opposite.x,
                     text.area.opposite.y});
  const Json json{{"version", kVersion}, {"sources", Sources(record)}, {"areas", areas}};
  AFTERSCOPE_TRY(MakeFolders(files, case_folder + "/cache"));
  return ReplaceFile(files, KeptPath(case_folder), json.dump() + "\n");
}

CoverArea WithMargin(const TextArea& area) {
  const auto [left, right] = std::minmax(area.corner.x, area.opposite.x);
  const auto [top, bottom] = std::minmax(area.corner.y, area.opposite.y);
  return {CoverShape::kBox, {left - kMargin, top - kMargin}, {right + kMargin, bottom + kMargin}};
}

Status AddCoversOfReviews(const std::string& case_folder, std::vector<std::vector<CoverArea>>& covers) {
  OpenCaseOptions options;
  options.read_only = true;
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(case_folder, options));
  for (const ReviewId& id : session->Reviews()) {
    const auto review = session->ReadReview(id);
    if (!review.ok()) continue;
    for (std::size_t i = 0; i < covers.size(); ++i)
      for (const CoverArea& area : CoversOf(*review, static_cast<int>(i))) covers[i].push_back(area);
  }
  return {};
}

}  // namespace

Result<FoundCovers> BlindCovers(const std::string& case_folder, const CaseRecord& record,
                                const Progress& progress, const StopQuery& stop, FileSystem& files) {
  FoundCovers all{std::vector<std::vector<CoverArea>>(record.recordings.size()), {}};
  std::vector<std::vector<CoverArea>>& covers = all.covers;
  AFTERSCOPE_TRY(AddCoversOfReviews(case_folder, covers));
  auto found = Kept(case_folder, record, files);
  if (!found) {
    auto searched = FindBurntInText(case_folder, record, progress, stop);
    if (!searched.ok() && searched.error().code == ErrorCode::kStopped) return searched.error();
    if (searched.ok())
      if (const Status kept = Keep(case_folder, record, *searched, files); !kept.ok())
        all.not_kept = kept.error().message;
    found = searched.ok() ? std::move(searched).value() : std::vector<FoundText>{};
  }
  for (const FoundText& text : *found)
    if (const auto i = static_cast<std::size_t>(text.at.recording); i < covers.size())
      covers[i].push_back(WithMargin(text.area));
  return all;
}

}  // namespace afterscope
