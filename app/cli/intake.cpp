// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/intake.hpp"

#include "annotate/media/recording.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"
#include "app/common/number_options.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <memory>
#include <utility>

namespace afterscope {
namespace {

using nlohmann::ordered_json;

struct Options {
  std::string folder;
  std::string make;
  double most_gap_s = 120;
  std::vector<std::string> fields;
  bool json = false;
};

Result<double> SecondsOf(const std::string& path) {
  Recording::Options quick;
  quick.build_table = false;
  AFTERSCOPE_ASSIGN(const auto recording, Recording::Open(path, quick));
  return recording->info().declared_seconds.value_or(0);
}

ordered_json JsonOf(const ProposedCase& proposed) {
  ordered_json recordings = ordered_json::array();
  for (std::size_t i = 0; i < proposed.recordings.size(); ++i) {
    const FoundRecording& recording = proposed.recordings[i];
    recordings.push_back({{"path", recording.path},
                          {"bytes", recording.size},
                          {"seconds", recording.seconds},
                          {"joined_because", i == 0 ? ordered_json() : ordered_json(proposed.reasons[i - 1])},
                          {"caution", recording.caution}});
  }
  return {{"name", proposed.name}, {"recordings", recordings}};
}

void Print(const ProposedCase& proposed) {
  Say("{}\n", proposed.name);
  for (std::size_t i = 0; i < proposed.recordings.size(); ++i) {
    const FoundRecording& recording = proposed.recordings[i];
    Say("\t{}\t{}\t{}\n", std::filesystem::path(recording.path).filename().string(),
        ReadableTime(recording.seconds),
        !recording.caution.empty() ? recording.caution
        : i == 0                   ? ""
                                   : proposed.reasons[i - 1]);
  }
}

Status MakeCase(const ProposedCase& proposed, const Options& options) {
  const std::string folder = fmt::format("{}/{}", options.make, proposed.name);
  AFTERSCOPE_ASSIGN(const EditGroup fields, FieldEdits(options.fields));
  AFTERSCOPE_TRY(MakeProposedCase(folder, proposed, fields,
                                  ConsoleProgress("Reading the recordings of " + proposed.name),
                                  ConsoleStop()));
  Say("made\t{}\n", folder);
  return {};
}

// Every case that can be made is; the first problem is the status.
Status MakeCases(const std::vector<ProposedCase>& cases, const Options& options) {
  Status first;
  for (const ProposedCase& proposed : cases) {
    if (!proposed.recordings.front().caution.empty()) continue;
    Status made = MakeCase(proposed, options);
    if (made.ok()) continue;
    if (made.error().code == ErrorCode::kStopped) return made;
    if (!first.ok()) Say(stderr, "{}\n", made.error().message);
    if (first.ok()) first = std::move(made);
  }
  return first;
}

Status Intake(const Options& options) {
  AFTERSCOPE_ASSIGN(const auto found,
                    FindRecordings(options.folder, SecondsOf, ConsoleProgress("Looking at " + options.folder),
                                   ConsoleStop()));
  if (found.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("There is no recording in '{}'.", options.folder)};
  const std::vector<ProposedCase> cases = ProposeCases(found, {options.most_gap_s});
  if (options.json) {
    ordered_json all = ordered_json::array();
    for (const ProposedCase& proposed : cases) all.push_back(JsonOf(proposed));
    ShowJson(all.dump(1, ' ', false, ordered_json::error_handler_t::replace) + "\n");
  } else {
    for (const ProposedCase& proposed : cases) Print(proposed);
  }
  return options.make.empty() ? Status() : MakeCases(cases, options);
}

}  // namespace

Command IntakeCommand() {
  return {"intake", "Proposes cases from a folder of recordings; makes them when told", [](CLI::App& sub) {
            auto options = std::make_shared<Options>();
            sub.add_option("DIR", options->folder, "folder of recordings")->required();
            sub.add_option("--make", options->make,
                           "make the proposed cases, each in a folder of its name in this folder");
            sub.add_option("--gap", options->most_gap_s,
                           "most seconds between two recordings of one case (default 120)")
                ->check(NumberWithin(0, 1e9));
            sub.add_option("--set", options->fields, "FIELD=VALUE for every case made")->take_all();
            sub.add_flag("--json", options->json, "the proposal as JSON");
            return [options] {
              const Status done = Intake(*options);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
