// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/fingerprint.hpp"

#include "annotate/media/digest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <vector>

namespace afterscope {
namespace {

constexpr std::int64_t kBlock = 65536;
constexpr std::int64_t kInner = 16;
constexpr std::size_t kMostCandidates = 2000;

Error CantRead(const std::string& path, const std::string& why) {
  return {ErrorCode::kUnreadable, fmt::format("Can't read '{}': {}.", path, why)};
}

// The file open for reading, after it was seen that it is one (a pipe would block).
Result<std::int64_t> OpenRegular(const std::string& path, std::ifstream& file) {
  AFTERSCOPE_ASSIGN(const FileInfo info, RealFileSystem().Stat(path));
  if (info.type == FileType::kAbsent) return CantRead(path, "there is no such file");
  if (info.type != FileType::kRegular) return CantRead(path, "it is not a file");
  file.open(path, std::ios::binary);
  if (!file) return CantRead(path, "it can't be opened");
  return info.size;
}

std::vector<std::int64_t> BlockPositions(std::int64_t size) {
  std::vector<std::int64_t> positions{0};
  const std::int64_t last = size - kBlock;
  for (std::int64_t k = 1; k <= kInner; ++k) {
    // floor(k * last / 17) without a product that could overflow.
    positions.push_back(last / (kInner + 1) * k + last % (kInner + 1) * k / (kInner + 1));
  }
  positions.push_back(last);
  return positions;
}

Status AddBytes(std::ifstream& file, std::int64_t position, std::int64_t count, const std::string& path,
                Sha256& sha) {
  std::vector<char> block(static_cast<std::size_t>(count));
  file.seekg(position);
  file.read(block.data(), count);
  if (!file) return CantRead(path, "it ended before its size or could not be read");
  sha.Update({block.data(), block.size()});
  return {};
}

bool SameFile(const Fingerprint& known, const std::string& path) {
  if (known.sampled_sha256.empty()) return true;
  const auto sampled = SampleFingerprint(path);
  return sampled.ok() && sampled->size == known.size && sampled->sampled_sha256 == known.sampled_sha256;
}

bool IsSafeReference(const std::string& path) {
  return path.find('\n') == std::string::npos && path.find('\0') == std::string::npos && path.front() != '/';
}

// Whether a file lies in a folder once links are followed.
bool LiesIn(const std::filesystem::path& folder, const std::filesystem::path& file) {
  std::error_code problem;
  const auto from = std::filesystem::weakly_canonical(folder, problem);
  if (problem) return false;
  const auto to = std::filesystem::weakly_canonical(file, problem);
  if (problem) return false;
  return !from.empty() && std::mismatch(from.begin(), from.end(), to.begin(), to.end()).first == from.end();
}

// A file of the same size and fingerprint in one of the folders; empty if there is none.
std::string Elsewhere(FileSystem& files, const std::vector<std::string>& folders, const Fingerprint& known) {
  if (known.sampled_sha256.empty()) return {};
  for (const std::string& folder : folders) {
    const auto names = files.List(folder);
    if (!names.ok() || names->size() > kMostCandidates) continue;
    for (const std::string& name : *names) {
      std::string path = fmt::format("{}/{}", folder, name);
      const auto info = files.Stat(path);
      if (info.ok() && info->type == FileType::kRegular && info->size == known.size && SameFile(known, path))
        return path;
    }
  }
  return {};
}

}  // namespace

Result<Fingerprint> SampleFingerprint(const std::string& path) {
  std::ifstream file;
  AFTERSCOPE_ASSIGN(const std::int64_t size, OpenRegular(path, file));
  Sha256 sha;
  if (size <= (kInner + 2) * kBlock) {
    AFTERSCOPE_TRY(AddBytes(file, 0, size, path, sha));
  } else {
    for (const std::int64_t position : BlockPositions(size))
      AFTERSCOPE_TRY(AddBytes(file, position, kBlock, path, sha));
  }
  return Fingerprint{size, sha.Hex(), ""};
}

Result<std::string> FullDigest(const std::string& path, const Progress& progress, const StopQuery& stop) {
  std::ifstream file;
  AFTERSCOPE_ASSIGN(const std::int64_t size, OpenRegular(path, file));
  Sha256 sha;
  std::vector<char> block(1 << 20);
  std::int64_t done = 0;
  while (file.read(block.data(), static_cast<std::streamsize>(block.size())), file.gcount() > 0) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, fmt::format("Stopped while reading '{}'.", path)};
    sha.Update({block.data(), static_cast<std::size_t>(file.gcount())});
    done += file.gcount();
    Report(progress, size > 0 ? static_cast<double>(done) / static_cast<double>(size) : 1);
  }
  if (file.bad()) return CantRead(path, "reading failed");
  return sha.Hex();
}

RecordingPlace FindRecording(const std::string& case_folder, const RecordingRef& recording,
                             FileSystem& files) {
  if (recording.path.empty()) return {RecordingState::kNotAtHand, "", ""};
  if (!IsSafeReference(recording.path))
    return {RecordingState::kMissing, "",
            fmt::format("'{}' is no path that a case may name.", recording.path)};
  const std::filesystem::path folder(case_folder);
  const std::string path = (folder / recording.path).lexically_normal().string();
  const auto info = files.Stat(path);
  const bool there = info.ok() && info->type == FileType::kRegular;
  if (there && recording.fingerprint.sampled_sha256.empty() && !LiesIn(folder, path))
    return {
        RecordingState::kDifferent, "",
        fmt::format(
            "'{}' is outside the case's folder, and the case has no sampled fingerprint to know it by; it is "
            "not opened.",
            path)};
  if (there && SameFile(recording.fingerprint, path)) return {RecordingState::kThere, path, ""};
  const std::string name = std::filesystem::path(recording.path).filename().string();
  const std::string above = (folder / "..").lexically_normal().string();
  std::vector<std::string> folders{case_folder, above};
  // A case that came from elsewhere could name any folder of this machine.
  if (const auto named = std::filesystem::path(path).parent_path(); LiesIn(above, named))
    folders.push_back(named.string());
  const std::string found = Elsewhere(files, folders, recording.fingerprint);
  if (!found.empty())
    return {RecordingState::kMoved, found,
            fmt::format("Recording '{}' was found again as '{}'.", name, found)};
  if (there)
    return {RecordingState::kDifferent, "",
            fmt::format("'{}' is not the recording that this case was made with; it is not used.", path)};
  return {RecordingState::kMissing, "",
          fmt::format("Recording '{}' is missing; the rest of the case works. In the case's folder or beside "
                      "it, it is found again under any name.",
                      path)};
}

std::string PathInCase(const std::string& case_folder, const std::string& file) {
  std::error_code problem;
  const auto base =
      std::filesystem::weakly_canonical(std::filesystem::absolute(case_folder, problem), problem);
  const auto target = std::filesystem::weakly_canonical(std::filesystem::absolute(file, problem), problem);
  return target.lexically_relative(base).generic_string();
}

}  // namespace afterscope
