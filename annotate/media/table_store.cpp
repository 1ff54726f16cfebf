// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/table_store.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <fstream>
#include <vector>

extern "C" {
#include <libavcodec/avcodec.h>
}

#include "annotate/media/digest.hpp"
#include "annotate/media/sealed_file.hpp"
#include "annotate/platform/user_folders.hpp"
#include "annotate/store/pending_file.hpp"

namespace afterscope {
namespace {

constexpr std::int64_t kTableFormat = 2;  // of the kept file; another one is not read
constexpr std::int64_t kTableMagic = 0x454C424154464141;
constexpr std::int64_t kMostBytes = 1LL << 30;
constexpr std::int64_t kSampleBytes = 64 << 10;
constexpr std::int64_t kSamples = 16;

void WriteFrames(WireWriter& to, const TableData& data) {
  to.Int(data.table.size());
  for (std::int64_t i = 0; i < data.table.size(); ++i) {
    const FrameEntry& entry = data.table[{i}];
    const FrameSource& source = data.sources[static_cast<std::size_t>(i)];
    to.Int(entry.pts.ticks).Int(entry.duration.ticks).Int(entry.file_position);
    to.Int((entry.key ? 1 : 0) | (entry.damaged ? 2 : 0));
    to.Int(source.pts).Int(source.ordinal).Int(std::bit_cast<std::int64_t>(source.check));
  }
}

// False where timestamps do not increase: such a table is not one of ours.
bool ReadFrames(WireReader& from, std::vector<FrameEntry>& entries, std::vector<FrameSource>& sources) {
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) {
    FrameEntry& entry = entries.emplace_back();
    FrameSource& source = sources.emplace_back();
    entry.pts = {from.Int()};
    entry.duration = {from.Int()};
    entry.file_position = from.Int();
    const std::int64_t flags = from.Int();
    entry.key = (flags & 1) != 0;
    entry.damaged = (flags & 2) != 0;
    source.pts = from.Int();
    source.ordinal = from.Int();
    source.check = std::bit_cast<std::uint64_t>(from.Int());
    if (entries.size() > 1 && !(entries[entries.size() - 2].pts < entry.pts)) return false;
  }
  return from.good();
}

bool ReadStarts(WireReader& from, std::int64_t frames, std::vector<StartFrame>& starts) {
  for (std::int64_t left = from.Int(); left > 0 && from.good(); --left) {
    StartFrame& start = starts.emplace_back();
    start.frame = from.Int();
    start.ordinal = from.Int();
    Read(from, start.packet);
    if (start.frame < 0 || start.frame >= frames) return false;
  }
  return from.good();
}

std::shared_ptr<const TableData> ParseTable(std::string_view bytes, const OpenedFile& file) {
  WireReader from(bytes);
  if (from.Int() != kTableMagic || from.Int() != kTableFormat) return nullptr;
  const Rational time_base{from.Int(), from.Int()};
  if (time_base != file.info.time_base) return nullptr;
  auto data = std::make_shared<TableData>();
  data->one_thread = from.Flag();
  data->facts = {from.Int(), from.Int(), from.Int(), from.Int(), from.Int(), from.Int()};
  std::vector<FrameEntry> entries;
  if (!ReadFrames(from, entries, data->sources)) return nullptr;
  if (!ReadStarts(from, static_cast<std::int64_t>(entries.size()), data->starts)) return nullptr;
  ChooseIdentity(*data);
  std::vector<std::string> cautions = TableCautions(file, entries, data->facts);
  data->table = FrameTable(std::move(entries), time_base, TableState::kVerified, std::move(cautions));
  return data;
}

}  // namespace

std::string TableKey(const RegularFile& file) {
  Sha256 sha;
  sha.Update(fmt::format("{} {} {} {}\n", kTableFormat, file.size, file.modified_ns, avcodec_version()));
  std::ifstream stream(file.absolute_path, std::ios::binary);
  std::vector<char> sample(static_cast<std::size_t>(kSampleBytes));
  const std::int64_t last = std::max<std::int64_t>(0, file.size - kSampleBytes);
  for (std::int64_t i = 0; i <= kSamples; ++i) {
    stream.clear();
    stream.seekg(last * i / kSamples);
    stream.read(sample.data(), kSampleBytes);
    if (stream.bad() || stream.gcount() <= 0) return {};
    sha.Update({sample.data(), static_cast<std::size_t>(stream.gcount())});
  }
  return sha.Hex();
}

TableStore::TableStore(const std::string& folder, FileSystem& files)
    : folder_(folder.empty() ? UserCacheFolder() : folder), files_(files) {}

std::shared_ptr<const TableData> TableStore::Load(const std::string& key, const OpenedFile& file) const {
  if (folder_.empty()) return nullptr;
  RemoveLeftovers(files_, folder_);
  if (key.empty()) return nullptr;
  const auto bytes = LoadSealed(files_, folder_ + "/" + key + kTableEnding, kMostBytes);
  return bytes ? ParseTable(*bytes, file) : nullptr;
}

void TableStore::Save(const std::string& key, const TableData& data) const {
  if (folder_.empty() || key.empty()) return;
  WireWriter to;
  to.Int(kTableMagic).Int(kTableFormat).Int(data.table.time_base().num).Int(data.table.time_base().den);
  to.Int(data.one_thread ? 1 : 0);
  const TableFacts& facts = data.facts;
  to.Int(facts.missing)
      .Int(facts.jumps_back)
      .Int(facts.out_of_order)
      .Int(facts.read_errors)
      .Int(facts.undecoded)
      .Int(facts.too_large);
  WriteFrames(to, data);
  to.Int(static_cast<std::int64_t>(data.starts.size()));
  for (const StartFrame& start : data.starts) {
    to.Int(start.frame).Int(start.ordinal);
    Write(to, start.packet);
  }
  SaveSealed(files_, folder_, key + kTableEnding, to.Take());
}

}  // namespace afterscope
