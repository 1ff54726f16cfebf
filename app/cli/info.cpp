// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/recording.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <limits>
#include <memory>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

using nlohmann::ordered_json;

struct InfoOptions {
  std::vector<std::string> files;
  bool json = false;
  bool frames = false;
  bool quick = false;
};

double Seconds(const FrameTable& table, Pts pts) {
  return static_cast<double>(pts.ticks) * table.time_base().value();
}

std::vector<std::string> Cautions(const RecordingInfo& info, const FrameTable& table) {
  std::vector<std::string> all = info.cautions;
  all.insert(all.end(), table.cautions().begin(), table.cautions().end());
  return all;
}

void PrintFrames(const FrameTable& table) {
  Say("index\tticks\tseconds\tkey\n");
  for (FrameIndex i; i.value < table.size(); ++i.value)
    Say("{}\t{}\t{:.6f}\t{}\n", i.value, table[i].pts.ticks, Seconds(table, table[i].pts),
        table[i].key ? 1 : 0);
}

std::int64_t DamagedFrames(const FrameTable& table) {
  return std::count_if(table.frames().begin(), table.frames().end(),
                       [](const FrameEntry& f) { return f.damaged; });
}

ordered_json SoundJson(const RecordingInfo& info) {
  if (!info.sound) return nullptr;
  return {{"codec", info.sound->codec},
          {"sample_rate", info.sound->sample_rate},
          {"channels", info.sound->channels}};
}

ordered_json FramesJson(const FrameTable& table) {
  ordered_json frames = ordered_json::array();
  for (FrameIndex i; i.value < table.size(); ++i.value)
    frames.push_back({{"index", i.value},
                      {"ticks", table[i].pts.ticks},
                      {"seconds", Seconds(table, table[i].pts)},
                      {"key", table[i].key},
                      {"damaged", table[i].damaged}});
  return frames;
}

// How long the frames last, in ticks, by the timestamps of one and the next.
struct Intervals {
  std::int64_t usual = 0, shortest = 0, longest = 0;
  bool Even() const { return longest - shortest <= 1; }  // a tick is what rounding to ticks makes
};

std::optional<Intervals> IntervalsOf(const FrameTable& table) {
  if (table.size() < 2) return std::nullopt;
  Intervals out{table.UsualInterval().ticks, std::numeric_limits<std::int64_t>::max(), 0};
  for (FrameIndex i{1}; i.value < table.size(); ++i.value) {
    const std::int64_t ticks = (table[i].pts - table[{i.value - 1}].pts).ticks;
    out.shortest = std::min(out.shortest, ticks);
    out.longest = std::max(out.longest, ticks);
  }
  return out;
}

ordered_json IntervalsJson(const FrameTable& table) {
  const auto intervals = IntervalsOf(table);
  if (!intervals) return nullptr;
  const double tick = table.time_base().value();
  return {{"usual_seconds", static_cast<double>(intervals->usual) * tick},
          {"shortest_seconds", static_cast<double>(intervals->shortest) * tick},
          {"longest_seconds", static_cast<double>(intervals->longest) * tick}};
}

void PrintRate(const FrameTable& table) {
  const auto intervals = IntervalsOf(table);
  if (!intervals || intervals->usual <= 0) return;
  const double tick = table.time_base().value(), usual = static_cast<double>(intervals->usual) * tick;
  if (intervals->Even())
    Say("  rate       even, {:.6g} frames a second\n",
        static_cast<double>(table.size() - 1) /
            (table[{table.size() - 1}].pts - table.begin()).Seconds(table.time_base()));
  else
    Say("  rate       varies: {:.4f} to {:.4f} s a frame, usually {:.4f} s\n",
        static_cast<double>(intervals->shortest) * tick, static_cast<double>(intervals->longest) * tick,
        usual);
}

// What the first picture says of its colours and fields; where the file declares nothing, what was taken for
// it.
struct PictureWords {
  const char *matrix, *range, *fields;
};

PictureWords WordsOf(const Picture& picture) {
  PictureWords out{"BT.601", "limited", "progressive"};
  if (picture.matrix == ColorMatrix::kBt709) out.matrix = "BT.709";
  if (picture.matrix == ColorMatrix::kBt2020) out.matrix = "BT.2020";
  if (picture.range == ColorRange::kFull) out.range = "full";
  if (picture.fields == FieldOrder::kTopFirst) out.fields = "interlaced, top field first";
  if (picture.fields == FieldOrder::kBottomFirst) out.fields = "interlaced, bottom field first";
  return out;
}

ordered_json Pair(Rational value) { return ordered_json::array({value.num, value.den}); }

ordered_json InfoJson(const RecordingInfo& info, const FrameTable& table,
                      const std::optional<PictureWords>& picture, bool with_frames) {
  ordered_json out{{"file", info.path},
                   {"container", info.container},
                   {"codec", info.codec},
                   {"pixel_format", info.pixel_format},
                   {"width", info.width},
                   {"height", info.height},
                   {"pixel_aspect", Pair(info.pixel_aspect)},
                   {"rotation_deg", info.rotation_deg},
                   {"time_base", Pair(info.time_base)},
                   {"bytes", info.file_bytes},
                   {"sound", SoundJson(info)},
                   {"verified", table.state() == TableState::kVerified},
                   {"frame_count", table.size()},
                   {"damaged_frames", DamagedFrames(table)}};
  for (const auto& [name, word] :
       {std::pair{"colour_matrix", &PictureWords::matrix}, std::pair{"colour_range", &PictureWords::range},
        std::pair{"fields", &PictureWords::fields}})
    out[name] = picture ? ordered_json((*picture).*word) : ordered_json();
  out["declared_rate"] = info.declared_rate.valid() ? Pair(info.declared_rate) : ordered_json();
  out["declared_seconds"] = info.declared_seconds ? ordered_json(*info.declared_seconds) : ordered_json();
  out["frame_intervals"] = IntervalsJson(table);
  out["first_ticks"] = table.empty() ? ordered_json() : ordered_json(table.begin().ticks);
  out["end_ticks"] = table.empty() ? ordered_json() : ordered_json(table.end().ticks);
  out["cautions"] = Cautions(info, table);
  if (with_frames) out["frames"] = FramesJson(table);
  return out;
}

void PrintText(const RecordingInfo& info, const FrameTable& table,
               const std::optional<PictureWords>& picture) {
  Say("{}\n", info.path);
  Say("  container  {}, {} bytes\n", info.container, info.file_bytes);
  Say("  picture    {}, {}, {} x {}, pixel {}:{}, turned by {} degrees\n", info.codec, info.pixel_format,
      info.width, info.height, info.pixel_aspect.num, info.pixel_aspect.den, info.rotation_deg);
  if (picture)
    Say("  colour     {}, {} range\n  fields     {}\n", picture->matrix, picture->range, picture->fields);
  if (info.sound)
    Say("  sound      {}, {} Hz, {} channels\n", info.sound->codec, info.sound->sample_rate,
        info.sound->channels);
  else
    Say("  sound      none\n");
  const TickSpan length = table.end() - table.begin();
  Say("  frames     {}, {:.3f} s, ticks of {}/{} s{}\n", table.size(), length.Seconds(table.time_base()),
      table.time_base().num, table.time_base().den,
      table.state() == TableState::kVerified ? "" : ", not verified by decoding");
  PrintRate(table);
  for (const std::string& caution : Cautions(info, table)) Say("  caution    {}\n", caution);
}

Status InfoOf(const std::string& file, const InfoOptions& options, ordered_json& all) {
  AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(file, {}));
  const TableState wanted =
      options.quick && !options.frames ? TableState::kFromPackets : TableState::kVerified;
  AFTERSCOPE_ASSIGN(const auto table,
                    recording->WaitForTable(wanted, ConsoleProgress("Decoding " + file), ConsoleStop()));
  if (table->empty())
    return Error{ErrorCode::kUnreadable, fmt::format("No frame of '{}' could be decoded.", file)};
  const RecordingInfo& info = recording->info();
  std::optional<PictureWords> picture;
  if (const auto first = recording->Frame(table->begin(), ConsoleStop()); first.ok())
    picture = WordsOf(*first);
  if (options.json) {
    all.push_back(InfoJson(info, *table, picture, options.frames));
  } else if (options.frames) {
    PrintFrames(*table);
    for (const std::string& caution : Cautions(info, *table)) Say(stderr, "{}: {}\n", file, caution);
  } else {
    PrintText(info, *table, picture);
  }
  return {};
}

int RunInfo(const InfoOptions& options) {
  ordered_json all = ordered_json::array();
  int status = 0;
  for (const std::string& file : options.files) {
    const Status done = InfoOf(file, options, all);
    if (done.ok()) continue;
    status = Failed(done.error());
    if (done.error().code == ErrorCode::kStopped) return status;
  }
  const bool single = options.files.size() == 1;
  if (options.json && !(single && all.empty()))
    ShowJson((single ? all[0] : all).dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n");
  return status;
}

}  // namespace

Command InfoCommand() {
  return {"info", "Says what a recording is, and what is wrong with it", [](CLI::App& sub) {
            auto options = std::make_shared<InfoOptions>();
            sub.add_option("FILE", options->files, "recordings")->required();
            sub.add_flag("--json", options->json, "as JSON: an object for one file, an array for several");
            sub.add_flag(
                "--frames", options->frames,
                "a line a frame in display order: index, ticks, seconds (ticks times the time base), key");
            sub.add_flag("--quick", options->quick, "without decoding every frame; damage may go unnoticed");
            return [options] { return RunInfo(*options); };
          }};
}

}  // namespace afterscope
