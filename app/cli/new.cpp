// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/describe_recording.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"
#include "app/common/review_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>

namespace afterscope {
namespace {

struct NewOptions {
  std::string folder;
  std::vector<std::string> recordings;
  std::vector<std::string> fields;
  ReviewOptions review;
};

bool AsksForReview(const ReviewOptions& options) {
  return !options.review.empty() || !options.reviewer.empty() || !options.kind.empty() || options.self ||
         options.blinded;
}

Status BeginReview(const std::string& folder, const OpenCaseOptions& open) {
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
  return session->BeginReview();
}

Status MakeCase(const NewOptions& options) {
  AFTERSCOPE_ASSIGN(const OpenCaseOptions open, OpenOptionsFrom(options.review));
  CaseRecord record;
  Review none;
  AFTERSCOPE_ASSIGN(const EditGroup fields, FieldEdits(options.fields));
  if (const auto set = ApplyEdits(fields, record, none); !set.ok()) return set.error();
  for (const std::string& file : options.recordings) {
    AFTERSCOPE_ASSIGN(RecordingRef recording,
                      DescribeRecording(options.folder, file, TableState::kFromPackets,
                                        ConsoleProgress("Reading " + file), ConsoleStop()));
    for (const RecordingRef& other : record.recordings)
      if (other.path == recording.path)
        return Error{ErrorCode::kBadCall, fmt::format("Recording '{}' was given twice.", file)};
    record.recordings.push_back(std::move(recording));
  }
  AFTERSCOPE_TRY(CaseSession::Create(options.folder, record));
  return AsksForReview(options.review) ? BeginReview(options.folder, open) : Status();
}

int RunNew(const NewOptions& options) {
  if (const Status made = MakeCase(options); !made.ok()) return Failed(made.error());
  Say("{}\n", options.folder);
  return 0;
}

}  // namespace

Command NewCommand() {
  return {"new", "Starts a case", [](CLI::App& sub) {
            auto options = std::make_shared<NewOptions>();
            sub.add_option("CASEDIR", options->folder, "folder to make")->required();
            sub.add_option("--recording", options->recordings, "recordings, in order")->required();
            sub.add_option("--set", options->fields,
                           "FIELD=VALUE: code, date, eye, operation, step_list, operator_code ... (see "
                           "annotate/store/FORMAT.md), consent.PURPOSE, extra.NAME")
                ->take_all();
            BindReviewOptions(sub, options->review);
            return [options] { return RunNew(*options); };
          }};
}

}  // namespace afterscope
