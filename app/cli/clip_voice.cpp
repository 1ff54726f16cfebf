// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/case_cues.hpp"
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/exchange/visit_csv.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/cli/clip_call.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <memory>

namespace afterscope {
namespace {

Result<std::unique_ptr<CaseSession>> Opened(const ClipCall& call) {
  OpenCaseOptions open;
  open.read_only = true;
  if (!call.review.empty()) open.review = ReviewId{call.review};
  AFTERSCOPE_ASSIGN(auto session, CaseSession::Open(call.folder, open));
  TellHowItOpened(*session);
  return session;
}

Status AddTake(const ClipCall& call) {
  AFTERSCOPE_ASSIGN(const auto session, Opened(call));
  CaseTimes times(*session);
  AFTERSCOPE_ASSIGN(const FrameRef start, times.Read(call.from.empty() ? "0" : call.from));
  AFTERSCOPE_ASSIGN(const VoiceTake take,
                    TakeFromFile(call.folder, call.add_take, start, CaseClock(session->record().recordings),
                                 call.words, ConsoleStop()));
  Say("{}\t{:.3f}\n", take.id, take.seconds);
  return {};
}

Status ListTakes(const ClipCall& call) {
  AFTERSCOPE_ASSIGN(const auto session, Opened(call));
  AFTERSCOPE_ASSIGN(const auto takes, LoadTakes(call.folder));
  const CaseClock clock(session->record().recordings);
  if (takes.empty()) Say("Nothing has been spoken for this case yet.\n");
  for (const VoiceTake& take : takes)
    Say("{}\t{}\t{:.3f}\t{}\n", take.id, ReadableTime(clock.Seconds(take.start())), take.seconds, take.words);
  for (const std::string& wrong : CheckTakes(call.folder)) Say(stderr, "{}\n", wrong);
  return {};
}

Status WriteNew(const std::string& path, const std::string& text) {
  return path == "-" ? WriteOutput(path, text) : WriteNewFile(RealFileSystem(), path, text);
}

Status WriteOfCase(const ClipCall& call) {
  AFTERSCOPE_ASSIGN(const auto session, Opened(call));
  const CaseClock clock(session->record().recordings);
  AFTERSCOPE_ASSIGN(const StepList list, LoadStepList(session->record(), call.folder, AssetsFolder()));
  if (!call.chapters_file.empty())
    AFTERSCOPE_TRY(WriteNew(call.chapters_file, WriteWebVtt(ChaptersOfCase(session->review(), list, clock))));
  if (!call.steps_file.empty())
    AFTERSCOPE_TRY(WriteNew(call.steps_file, CsvFromVisits(session->review(), list, clock)));
  if (call.captions_file.empty()) return {};
  AFTERSCOPE_ASSIGN(const auto takes, LoadTakes(call.folder));
  return WriteNew(call.captions_file, WriteWebVtt(CaptionsOfCase(session->review(), takes, clock)));
}

}  // namespace

Status DoVoice(const ClipCall& call, bool& done) {
  done = true;
  if (!call.add_take.empty()) return AddTake(call);
  if (!call.remove_take.empty()) return RemoveTake(call.folder, call.remove_take);
  if (call.list_takes) return ListTakes(call);
  if (!call.take.empty() && !call.words.empty()) return SetTakeWords(call.folder, call.take, call.words);
  if (!call.captions_file.empty() || !call.chapters_file.empty() || !call.steps_file.empty())
    return WriteOfCase(call);
  done = false;
  return {};
}

void BindVoice(CLI::App& sub, ClipCall& call) {
  sub.add_option("--add-take", call.add_take,
                 "only take a sound file in as narration, spoken from --from on while the case plays");
  sub.add_option("--words", call.words, "what is said in it, or in the one that --take names; for captions");
  sub.add_flag("--takes", call.list_takes, "only list the takes of the narration");
  sub.add_option("--remove-take", call.remove_take, "only remove a take, by its id");
  sub.add_option(
      "--captions-of-case", call.captions_file,
      "only write the captions of the whole case as WebVTT; - for standard output; never overwritten");
  sub.add_option("--chapters-of-case", call.chapters_file,
                 "only write its steps as chapters in WebVTT; never overwritten");
  sub.add_option("--steps-of-case", call.steps_file,
                 "only write its steps with start and end in seconds as a table (CSV); never overwritten");
}

}  // namespace afterscope
