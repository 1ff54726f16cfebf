// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/index/case_snapshot.hpp"

#include "annotate/media/digest.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/case_links.hpp"
#include "annotate/store/checkpoint.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/old_scores.hpp"
#include "annotate/store/review_json.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>

namespace afterscope {
namespace {

constexpr std::int64_t kMostFileBytes = 64LL << 20;
constexpr std::size_t kDigest = 64;

std::string ReviewFolder(const std::string& folder, const std::string& id) {
  return fmt::format("{}/reviews/{}", folder, id);
}

// The digest of the journal's last line.
std::optional<std::string> EndOfJournal(FileSystem& files, const std::string& path) {
  const auto bytes = files.ReadAll(path, kMostJournalBytes);
  if (!bytes.ok() || !bytes->ends_with('\n')) return std::nullopt;
  const auto before = bytes->rfind('\n', bytes->size() - 2);
  const std::size_t start = before == std::string::npos || bytes->size() < 2 ? 0 : before + 1;
  if (bytes->size() - start < kDigest) return std::nullopt;
  return bytes->substr(start, kDigest);
}

// The checkpoint's members, if it is whole and contains the journal's last entry.
std::optional<Json> CurrentCheckpoint(FileSystem& files, const std::string& path,
                                      const std::string& last_digest) {
  const auto text = files.ReadAll(path, kMostFileBytes);
  if (!text.ok()) return std::nullopt;
  auto content = CheckpointFrom(*text, path);
  const bool current = content.ok() && content->whole && content->checkpoint.last_digest == last_digest &&
                       MajorOf(content->checkpoint.version) <= kFormatMajor;
  return current ? std::optional(std::move(content->json)) : std::nullopt;
}

Result<DocumentState> Replayed(FileSystem& files, DocumentKind kind, const std::string& folder) {
  Document document(files, kind, folder);
  AFTERSCOPE_ASSIGN(const Document::Found found, document.Load(true));
  static_cast<void>(found);
  return std::move(document.state());
}

std::string StampOf(FileSystem& files, const std::string& path) {
  const auto info = files.Stat(path);
  if (!info.ok() || info->type == FileType::kAbsent) return "-";
  return fmt::format("{}:{}", info->size, info->modified_ns);
}

// Sizes and times of what was followed; empty where nothing was.
Json FollowedStamps(FileSystem& files, const std::string& review_folder) {
  Json stamps = Json::array();
  const std::string folder = review_folder + "/followed";
  if (StampOf(files, folder) == "-") return stamps;
  const auto names = files.List(folder);
  if (!names.ok()) return stamps;
  for (const std::string& name : *names)
    stamps.push_back(fmt::format("{} {}", name, StampOf(files, fmt::format("{}/{}", folder, name))));
  return stamps;
}

// `json` has the points of trails, or the digests of their files.
void TakeDigests(Json json, const Json& followed, ReviewSnapshot& snapshot) {
  for (Json& trail : json["trails"]) {
    if (trail.contains("points")) trail["points_digest"] = Sha256Hex(ReadableText(trail["points"]));
    trail.erase("points");
    trail.erase("points_file");
  }
  snapshot.times_digest = Sha256Hex(CompactText(json["visits"]));
  snapshot.marks_digest =
      Sha256Hex(CompactText(Json::array({json["marks"], json["scales"], json["trails"], followed})));
}

Result<ReviewSnapshot> ReadReview(const std::string& folder, const std::string& id, FileSystem& files) {
  const std::string place = ReviewFolder(folder, id);
  const std::string end = EndOfJournal(files, place + "/journal").value_or("");
  const Json followed = FollowedStamps(files, place);
  if (const auto json = CurrentCheckpoint(files, place + "/review.json", end)) {
    AFTERSCOPE_ASSIGN(Review review, ReviewFrom(*json, place));
    const bool none = review.trails.empty();
    ReviewSnapshot snapshot{std::move(review), "", "", !followed.empty(), none};
    TakeDigests(*json, followed, snapshot);
    return snapshot;
  }
  AFTERSCOPE_ASSIGN(DocumentState state, Replayed(files, DocumentKind::kReview, place));
  ReviewSnapshot snapshot{std::move(state.review), "", "", !followed.empty(), true};
  TakeDigests(JsonFrom(snapshot.review), followed, snapshot);
  return snapshot;
}

}  // namespace

Result<CaseSnapshot> ReadCaseSnapshot(const std::string& folder, std::string& problem, FileSystem& files) {
  CaseSnapshot snapshot;
  AFTERSCOPE_ASSIGN(const std::vector<std::string> links, LinksBesides(folder));
  const std::string end = EndOfJournal(files, folder + "/journal").value_or("");
  if (const auto json = CurrentCheckpoint(files, folder + "/case.json", end)) {
    AFTERSCOPE_ASSIGN(snapshot.record, CaseRecordFrom(*json, folder));
  } else {
    AFTERSCOPE_ASSIGN(DocumentState state, Replayed(files, DocumentKind::kCase, folder));
    snapshot.record = std::move(state.record);
  }
  AFTERSCOPE_TRY(RefuseUnnamedLinks(folder, links, snapshot.record));
  for (const std::string& id : ReviewsIn(folder, files)) {
    auto review = ReadReview(folder, id, files);
    if (review.ok()) {
      review->review = WithOldScores(snapshot.record, std::move(review->review));
      snapshot.reviews.push_back(std::move(*review));
    } else if (problem.empty()) {
      problem = review.error().message;
    }
  }
  return snapshot;
}

Result<Review> ReadReviewWithPoints(const std::string& folder, const ReviewId& id, FileSystem& files) {
  AFTERSCOPE_ASSIGN(DocumentState state,
                    Replayed(files, DocumentKind::kReview, ReviewFolder(folder, id.value)));
  return std::move(state.review);
}

std::vector<std::string> ReviewsIn(const std::string& folder, FileSystem& files) {
  const auto names = files.List(folder + "/reviews");
  if (!names.ok()) return {};
  std::vector<std::string> reviews;
  std::copy_if(names->begin(), names->end(), std::back_inserter(reviews), IsValidIdText);
  return reviews;
}

std::string StampOfCase(const std::string& folder, const std::vector<std::string>& reviews,
                        FileSystem& files) {
  std::string stamp = StampOf(files, folder + "/journal");
  if (stamp == "-") stamp = StampOf(files, folder + "/case.json");
  if (stamp == "-") return "";
  stamp += fmt::format(" {}", StampOf(files, folder + "/reviews"));
  for (const std::string& review : reviews) {
    const std::string place = ReviewFolder(folder, review);
    std::string part = StampOf(files, place + "/journal");
    if (part == "-") part = StampOf(files, place + "/review.json");
    stamp += fmt::format(" {}={},{}", review, part, StampOf(files, place + "/followed"));
  }
  return stamp;
}

}  // namespace afterscope
