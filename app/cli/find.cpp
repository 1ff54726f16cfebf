// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/finding_json.hpp"
#include "annotate/jobs/series/series_stretches.hpp"
#include "annotate/store/json_text.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"
#include "app/common/series_call.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>

namespace afterscope {
namespace {

struct FindCall {
  SeriesCall base;
  StretchQuery query;
  std::string json;
};

Json JsonFrom(const Stretch& s) {
  return {{"case", s.code},
          {"folder", s.folder},
          {"date", s.date},
          {"operator", s.operator_code},
          {"what", s.what},
          {"words", s.words},
          {"start_s", s.start_s},
          {"end_s", s.end_s},
          {"frame", JsonFromFrame(s.at)}};
}

Status Find(FindCall& call) {
  AFTERSCOPE_ASSIGN(const CurrentIndex open, OpenUpToDate(call.base));
  AFTERSCOPE_ASSIGN(const auto stretches,
                    FindStretches(*open.index, open.folder, call.base.filter, call.query, AssetsFolder()));
  if (!call.json.empty()) {
    Json all = Json::array();
    for (const Stretch& stretch : stretches) all.push_back(JsonFrom(stretch));
    return WriteJsonOutput(call.json, ReadableText(WithExportedNumbers(std::move(all))));
  }
  if (stretches.empty()) Say("No stretch of these cases is like that.\n");
  for (const Stretch& s : stretches)
    Say("{}\t{}\t{}\t{}\t{}\t{}\n", s.folder, ReadableTime(s.start_s), ReadableTime(s.end_s), s.what,
        s.operator_code, s.words);
  return {};
}

}  // namespace

Command FindCommand() {
  return {"find", "Stretches across cases: by step, complication, check or words", [](CLI::App& sub) {
            auto call = std::make_shared<FindCall>();
            AddSeriesOptions(sub, call->base);
            sub.add_option("--step", call->query.step, "visits of this step, or moments within it");
            sub.add_option("--with-complication", call->query.complication, "moments with it: a key, or any");
            sub.add_option("--check", call->query.check,
                           "moments where this check was noted, and the step of each case that has it in its "
                           "list of checks");
            sub.add_option("--words", call->query.words,
                           "moments whose text, or checks whose state, holds these words");
            sub.add_option("--before", call->query.before_s, "seconds shown before a moment")
                ->check(NumberWithin(0, 3600))
                ->capture_default_str();
            sub.add_option("--after", call->query.after_s, "seconds shown after it")
                ->check(NumberWithin(0, 3600))
                ->capture_default_str();
            sub.add_option("--json", call->json, "file for the list as JSON, - for standard output");
            return [call] {
              const Status done = Find(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
