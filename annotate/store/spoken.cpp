// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/spoken.hpp"

#include "annotate/media/digest.hpp"
#include "annotate/store/journal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>

namespace afterscope {
namespace {

constexpr const char* kFile = "sound_file";
constexpr const char* kDigest = "sound_sha256";
constexpr const char* kSeconds = "sound_s";
constexpr std::string_view kBegin = "spoken-";
constexpr std::string_view kSoundEnd = ".ogg";
constexpr std::size_t kRandom = 32;  // hexadecimal digits between them
constexpr std::int64_t kMostSpokenBytes = 64 << 20;

// A name from a journal is a file of this folder only if it looks like one of ours.
bool IsSpokenName(std::string_view name) {
  if (name.size() != kBegin.size() + kRandom + kSoundEnd.size() || !name.starts_with(kBegin) ||
      !name.ends_with(kSoundEnd))
    return false;
  const std::string_view random = name.substr(kBegin.size(), kRandom);
  return random.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

std::string FieldOf(const Moment& moment, const char* field) {
  const auto found = moment.fields.find(field);
  return found == moment.fields.end() ? std::string() : found->second;
}

// The bytes of a review's journal and of those that were put aside damaged.
Result<std::string> JournalsOf(const std::string& folder, FileSystem& files) {
  std::string all;
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  for (const std::string& name : names) {
    if (!name.starts_with("journal")) continue;
    AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(folder + "/" + name, kMostJournalBytes));
    all += bytes;
  }
  return all;
}

}  // namespace

std::optional<SpokenFile> SpokenOf(const Moment& moment) {
  SpokenFile file{FieldOf(moment, kFile), FieldOf(moment, kDigest), 0};
  if (!IsSpokenName(file.name)) return std::nullopt;
  file.seconds = std::max(0.0, std::strtod(FieldOf(moment, kSeconds).c_str(), nullptr));
  return file;
}

std::string ShownText(const Moment& moment) {
  const auto spoken = SpokenOf(moment);
  return moment.text.empty() && spoken ? fmt::format("spoken, {:.0f} s", std::ceil(spoken->seconds))
                                       : moment.text;
}

bool IsSpokenField(const std::string& name) { return name == kFile || name == kDigest || name == kSeconds; }

void SetSpoken(Moment& moment, const SpokenFile& file) {
  moment.fields[kFile] = file.name;
  moment.fields[kDigest] = file.sha256;
  moment.fields[kSeconds] = fmt::format("{:.3f}", file.seconds);
}

std::string NewSpokenName() {
  std::random_device random;
  return fmt::format("{}{:08x}{:08x}{:08x}{:08x}{}", kBegin, random(), random(), random(), random(),
                     kSoundEnd);
}

std::string SpokenFolder(const std::string& case_folder, const ReviewId& review) {
  return fmt::format("{}/reviews/{}/spoken", case_folder, review.value);
}

Status CopySpoken(const std::string& case_folder, const Review& from, const ReviewId& to, FileSystem& files) {
  const std::string target = SpokenFolder(case_folder, to);
  for (const Moment& moment : from.moments) {
    const auto spoken = SpokenOf(moment);
    if (!spoken) continue;
    const auto bytes =
        files.ReadAll(SpokenFolder(case_folder, from.id) + "/" + spoken->name, kMostSpokenBytes);
    if (!bytes.ok()) continue;
    AFTERSCOPE_TRY(MakeFolders(files, target));
    AFTERSCOPE_TRY(ReplaceFile(files, target + "/" + spoken->name, *bytes));
  }
  return {};
}

std::vector<std::string> CheckSpoken(const std::string& case_folder, const Review& review,
                                     FileSystem& files) {
  std::vector<std::string> wrong;
  for (const Moment& moment : review.moments) {
    const auto spoken = SpokenOf(moment);
    if (!spoken) continue;
    const std::string path = SpokenFolder(case_folder, review.id) + "/" + spoken->name;
    const auto info = files.Stat(path);
    if (!info.ok() || info->type != FileType::kRegular) {
      wrong.push_back(
          fmt::format("The sound of remark '{}' is missing: there is no '{}'.", moment.id.value, path));
      continue;
    }
    const auto bytes = files.ReadAll(path, kMostSpokenBytes);
    if (!bytes.ok())
      wrong.push_back(bytes.error().message);
    else if (Sha256Hex(*bytes) != spoken->sha256)
      wrong.push_back(fmt::format("The sound of remark '{}' is not as it was spoken: '{}' was changed.",
                                  moment.id.value, path));
  }
  return wrong;
}

Status RemoveUnnamedSpoken(const std::string& case_folder, const ReviewId& review, FileSystem& files) {
  const std::string folder = SpokenFolder(case_folder, review);
  const auto names = files.List(folder);
  if (!names.ok() || names->empty()) return {};  // nothing was ever spoken
  AFTERSCOPE_ASSIGN(const std::string journal,
                    JournalsOf(fmt::format("{}/reviews/{}", case_folder, review.value), files));
  for (const std::string& name : *names)
    if ((IsSpokenName(name) && journal.find(name) == std::string::npos) || IsTemporaryName(name))
      AFTERSCOPE_TRY(files.Remove(folder + "/" + name));
  return files.SyncFolder(folder);
}

}  // namespace afterscope
