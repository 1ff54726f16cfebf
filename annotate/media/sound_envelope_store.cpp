// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/digest.hpp"
#include "annotate/media/sound_envelope.hpp"
#include "annotate/media/sound_source.hpp"
#include "annotate/media/table_store.hpp"
#include "annotate/media/wire.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::int64_t kLevelsFormat = 1;  // of the kept file; another one is not read
constexpr std::int64_t kLevelsMagic = 0x534C564C414641;
constexpr std::string_view kEnding = ".levels";
constexpr std::size_t kDigest = 64;  // the last characters are a SHA-256 of what stands before them

// Half decibels below full scale from 255 down; 0 is silence.
char Packed(float level) {
  if (!(level > 0)) return 0;
  const double half_db = 255 + 40 * std::log10(double{level});
  return static_cast<char>(static_cast<unsigned char>(std::clamp(std::round(half_db), 0.0, 255.0)));
}

float Unpacked(char packed) {
  const auto value = static_cast<unsigned char>(packed);
  return value == 0 ? 0.0F : static_cast<float>(std::pow(10.0, (value - 255) / 40.0));
}

std::optional<SoundEnvelope> ParseLevels(std::string_view bytes) {
  if (bytes.size() < kDigest) return std::nullopt;
  const std::string_view content = bytes.substr(0, bytes.size() - kDigest);
  if (Sha256Hex(content) != bytes.substr(content.size())) return std::nullopt;
  WireReader from(content);
  if (from.Int() != kLevelsMagic || from.Int() != kLevelsFormat) return std::nullopt;
  const std::string packed = from.Text();
  SoundEnvelope envelope;
  for (std::size_t i = 0; i + 1 < packed.size(); i += 2)
    envelope.levels.push_back({Unpacked(packed[i]), Unpacked(packed[i + 1])});
  return from.good() ? std::optional(std::move(envelope)) : std::nullopt;
}

}  // namespace

// The place of the first frame belongs to it: the same file read with a better frame table may begin
// elsewhere.
std::string SoundEnvelopeStore::PathFor(const Recording& recording) const {
  const auto file = LookAtRegularFile(recording.info().path);
  const std::string key = file.ok() && !folder_.empty() ? TableKey(*file) : std::string();
  if (key.empty()) return {};
  const RecordingShape shape = recording.Shape();
  const std::string name = fmt::format("{} {} {}", key, SoundOrigin(shape), (shape.end - shape.first).ticks);
  return fmt::format("{}/{}{}", folder_, Sha256Hex(name), kEnding);
}

std::optional<SoundEnvelope> SoundEnvelopeStore::Load(const Recording& recording) const {
  const std::string path = PathFor(recording);
  if (path.empty()) return std::nullopt;
  const auto bytes = files_.ReadAll(path, kMostBytes);
  return bytes.ok() ? ParseLevels(*bytes) : std::nullopt;
}

void SoundEnvelopeStore::Save(const Recording& recording, const SoundEnvelope& envelope) const {
  const std::string path = PathFor(recording);
  if (path.empty()) return;
  std::string packed;
  for (const SoundLevel& level : envelope.levels) packed += {Packed(level.peak), Packed(level.rms)};
  WireWriter to;
  to.Int(kLevelsMagic).Int(kLevelsFormat).Text(packed);
  std::string bytes = to.Take();
  bytes += Sha256Hex(bytes);
  if (static_cast<std::int64_t>(bytes.size()) > kMostBytes) return;
  // A cache that can't be written only costs time.
  if (!MakeFolders(files_, folder_).ok()) return;
  MakeRoom(static_cast<std::int64_t>(bytes.size()));
  (void)ReplaceFile(files_, path, bytes).ok();
}

void SoundEnvelopeStore::MakeRoom(std::int64_t bytes) const {
  struct Kept {
    std::int64_t modified_ns;
    std::int64_t size;
    std::string path;
  };
  std::vector<Kept> kept;
  const auto names = files_.List(folder_);
  if (!names.ok()) return;
  for (const std::string& name : *names) {
    if (!name.ends_with(kEnding)) continue;
    std::string path = folder_ + "/" + name;
    const auto info = files_.Stat(path);
    if (!info.ok() || info->type != FileType::kRegular) continue;
    kept.push_back({info->modified_ns, info->size, std::move(path)});
    bytes += info->size;
  }
  std::sort(kept.begin(), kept.end(),
            [](const Kept& a, const Kept& b) { return a.modified_ns < b.modified_ns; });
  for (const Kept& one : kept) {
    if (bytes <= kMostBytes) return;
    if (files_.Remove(one.path).ok()) bytes -= one.size;
  }
}

}  // namespace afterscope
