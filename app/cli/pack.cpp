// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/pack/pack_case.hpp"
#include "annotate/store/journal.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>

namespace afterscope {
namespace {

struct PackCall {
  std::string folder;
  std::string output;
  std::string taken_in;
  std::string review;
  PackOptions options;
};

Status TakeIn(const PackCall& call) {
  AFTERSCOPE_ASSIGN(const TakenAnswers answers, TakeInAnswers(call.folder, call.taken_in));
  Say("{} new answers\n", answers.fresh);
  if (answers.scrubbed > 0)
    Say(stderr, "{} answers are not taken in: the case has them as a scrub left them.\n", answers.scrubbed);
  return {};
}

Status Make(PackCall call) {
  PackOptions& options = call.options;
  if (!call.review.empty()) options.review = ReviewId{call.review};
  options.today = Today();
  options.assets_folder = AssetsFolder();
  options.program_version = AFTERSCOPE_VERSION;
  options.made_at = UtcNow();
  AFTERSCOPE_ASSIGN(const PackDone done, PackCase(call.folder, call.output, options,
                                                  ConsoleProgress("Making the hand-over"), ConsoleStop()));
  for (const std::string& caution : done.cautions) Say(stderr, "{}\n", caution);
  Say(stderr,
      "What was typed into the review goes along as it is: read {} for names before handing it over.\n",
      done.report);
  Say("{}\n", call.output);
  return {};
}

Status Run(const PackCall& call) {
  if (call.output.empty() == call.taken_in.empty())
    return Error{ErrorCode::kBadCall,
                 "Give -o and a new folder to make the hand-over, or --take-in and one that came back."};
  return call.output.empty() ? TakeIn(call) : Make(call);
}

}  // namespace

Command PackCommand() {
  return {"pack", "Makes the folder that a trainee is handed after a review, or takes its answers in",
          [](CLI::App& sub) {
            auto call = std::make_shared<PackCall>();
            sub.add_option("CASEDIR", call->folder, "case folder")->required();
            sub.add_option(
                "-o,--output", call->output,
                "new folder: a case with the signed review, its report, and covered silent copies of "
                "the recordings");
            sub.add_option("--take-in", call->taken_in,
                           "a folder that came back: the answers in it go into the case");
            sub.add_option("--review", call->review,
                           "which signed review, by its id; else the newest that is not the operator's own");
            sub.add_option("--quality", call->options.quality,
                           "constant quality of the video, 0 to 51; lower is better")
                ->check(NumberWithin(0, 51))
                ->capture_default_str();
            return [call] {
              const Status done = Run(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
