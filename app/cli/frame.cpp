// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/picture_file.hpp"
#include "annotate/media/recording.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>
#include <optional>

namespace afterscope {
namespace {

struct FrameOptions {
  std::string file;
  std::optional<std::int64_t> index;
  std::optional<std::int64_t> ticks;
  std::string output;
  bool hash = false;
};

// The timestamp asked for; an index speaks of the table of all decoded frames.
Result<Pts> Wanted(Recording& recording, const FrameOptions& options) {
  if (options.ticks) return Pts{*options.ticks};
  AFTERSCOPE_ASSIGN(const auto table,
                    recording.WaitForTable(TableState::kVerified, ConsoleProgress("Decoding " + options.file),
                                           ConsoleStop()));
  if (table->empty())
    return Error{ErrorCode::kUnreadable, fmt::format("No frame of '{}' could be decoded.", options.file)};
  if (*options.index < 0 || *options.index >= table->size())
    return Error{ErrorCode::kBadCall, fmt::format("'{}' has no frame {}: its frames are 0 to {}.",
                                                  options.file, *options.index, table->size() - 1)};
  return (*table)[{*options.index}].pts;
}

Status GiveFrame(const FrameOptions& options) {
  if (options.index.has_value() == options.ticks.has_value())
    return Error{ErrorCode::kBadCall, "frame needs either --index or --ticks."};
  if (options.hash == !options.output.empty())
    return Error{ErrorCode::kBadCall, "frame needs either -o or --hash."};
  AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(options.file, {}));
  AFTERSCOPE_ASSIGN(const Pts pts, Wanted(*recording, options));
  AFTERSCOPE_ASSIGN(const Picture picture, recording->Frame(pts, ConsoleStop()));
  if (picture.frame.pts != pts)
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' has no frame at ticks {}; the one shown then has ticks {}.", options.file,
                             pts.ticks, picture.frame.pts.ticks)};
  if (picture.damaged) Say(stderr, "'{}': the frame at ticks {} is damaged.\n", options.file, pts.ticks);
  if (!options.hash) return WritePng(picture, options.output, {options.file});
  AFTERSCOPE_ASSIGN(const std::string hash, recording->FrameHash(pts, ConsoleStop()));
  Say("{}\n", hash);
  return {};
}

}  // namespace

Command FrameCommand() {
  return {"frame", "Writes or hashes exactly one frame of a recording", [](CLI::App& sub) {
            auto options = std::make_shared<FrameOptions>();
            sub.add_option("FILE", options->file, "recording")->required();
            sub.add_option("--index", options->index, "which frame, 0 is the first in display order")
                ->check(AnyNumber());
            sub.add_option("--ticks", options->ticks, "which frame, by its timestamp in the file's ticks")
                ->check(AnyNumber());
            sub.add_option("-o,--output", options->output,
                           "PNG to write: the decoded picture in sRGB, neither turned nor stretched");
            sub.add_flag("--hash", options->hash,
                         "print the MD5 of the decoded planes, as ffmpeg's framehash has it");
            return [options] {
              const Status done = GiveFrame(*options);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
