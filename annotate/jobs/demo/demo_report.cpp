// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/demo_report.hpp"

#include <memory>
#include <utility>

#include "annotate/media/recording.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"

namespace afterscope {
namespace {

using Recordings = std::vector<std::unique_ptr<Recording>>;

Result<Recordings> OpenAll(const std::vector<std::string>& paths) {
  Recordings opened;
  for (std::size_t i = 0; i < paths.size(); ++i) {
    Recording::Options options;
    options.recording_number = static_cast<int>(i);
    options.limits.decode_threads = 1;
    options.cache_bytes = 32 << 20;
    AFTERSCOPE_ASSIGN(std::unique_ptr<Recording> recording, Recording::Open(paths[i], options));
    opened.push_back(std::move(recording));
  }
  return opened;
}

std::vector<EarlierCase> EarlierOf(const DemoOutcome& outcome, const std::vector<DemoOutcome>& others) {
  std::vector<EarlierCase> earlier;
  for (const DemoOutcome& other : others)
    if (other.operator_code == outcome.operator_code && other.date < outcome.date)
      earlier.push_back({other.code, other.date, other.findings});
  return earlier;
}

}  // namespace

Result<DemoReportParts> LoadDemoReportParts(const std::string& assets_folder, FileSystem& files) {
  DemoReportParts parts;
  AFTERSCOPE_ASSIGN(parts.words, LoadReportWords(assets_folder + "/reports/words.json", files));
  for (const auto& [file, member] : {std::pair{"difficulty", "difficulties"}, std::pair{"complications", "complications"}}) {
    AFTERSCOPE_ASSIGN(const std::vector<NamedKey> keys, LoadNamedKeys(assets_folder + "/" + file + ".json", member, files));
    for (const NamedKey& key : keys) parts.names[key.key] = key.name;
  }
  return parts;
}

Status WriteDemoReport(const DemoOutcome& outcome, const std::vector<DemoOutcome>& others, const DemoPlaces& places,
                       const StepList& steps, const DemoReportParts& parts, const StopQuery& stop, FileSystem& files) {
  OpenCaseOptions options;
  options.read_only = true;
  AFTERSCOPE_ASSIGN(const std::unique_ptr<CaseSession> session, CaseSession::Open(outcome.case_folder, options, files));
  AFTERSCOPE_ASSIGN(const Recordings recordings, OpenAll(outcome.recordings));
  const FrameSupplier frames = [&](FrameRef at) -> Result<Picture> {
    if (at.recording < 0 || at.recording >= static_cast<int>(recordings.size()))
      return Error{ErrorCode::kUnreadable, "The case has no such recording."};
    return recordings[static_cast<std::size_t>(at.recording)]->Frame(at.pts, stop);
  };
  ReportInput input{session->record(), session->review(), steps, outcome.findings, EarlierOf(outcome, others),
                    parts.words, frames, parts.names, parts.program_version, {}, session->cautions()};
  AFTERSCOPE_ASSIGN(const ReportModel model, BuildReport(input, {}, stop));
  const auto written = WriteReport(model, ReportFormat::kPdf, places.Report(outcome.code), PdfOptions{}, files);
  return written.ok() ? Status() : Status(written.error());
}

}  // namespace afterscope
