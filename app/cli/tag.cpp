// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/words.hpp"
#include "annotate/jobs/forget.hpp"
#include "annotate/store/scrub.hpp"
#include "app/cli/tag_options.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>

namespace afterscope {
namespace {

Status Repeat(int times, const std::function<Status()>& action) {
  for (int i = 0; i < times; ++i) AFTERSCOPE_TRY(action());
  return {};
}

Status CarryOutScrub(CaseSession& session, const std::string& text) {
  AFTERSCOPE_ASSIGN(const int changed, session.Scrub(text));
  Say("scrubbed in {} journal entries\n", changed);
  const std::vector<std::string> ids = IdsThatHold(RealFileSystem(), session.folder(), text);
  if (!ids.empty())
    Say("'{}' stays in the ids {}, which can't be changed since files and entries belong together by them.\n",
        text, fmt::join(ids, ", "));
  for (const std::string& index : IndexesAtHand("")) AFTERSCOPE_TRY(ForgetInIndex(index, session.folder()));
  return {};
}

Status CarryOut(CaseSession& session, const TagOptions& options) {
  AFTERSCOPE_TRY(Repeat(options.undo, [&] { return session.Undo(); }));
  AFTERSCOPE_TRY(Repeat(options.redo, [&] { return session.Redo(); }));
  int done = options.undo + options.redo;
  if (!options.edits.empty()) {
    AFTERSCOPE_ASSIGN(const int edits, CarryOutEditsFile(session, options.edits));
    done += edits;
  }
  AFTERSCOPE_ASSIGN(const int tags, CarryOutTags(session, options));
  done += tags;
  AFTERSCOPE_ASSIGN(const int signings, CarryOutSigning(session, options));
  done += signings;
  if (!options.scrub.empty()) {
    AFTERSCOPE_TRY(CarryOutScrub(session, options.scrub));
    ++done;
  }
  if (options.reviews) PrintReviews(session);
  if (options.history) AFTERSCOPE_TRY(PrintHistory(session));
  if (options.list || options.json) {
    PrintReview(session, options.json);
  } else if (done == 0 && !options.reviews && !options.history) {
    return Error{ErrorCode::kBadCall,
                 "Nothing to do: give at least one edit, or --list; see 'afterscope tag --help'."};
  }
  if (!options.scrub.empty()) return session.SaveCheckpoint();  // the text may stand in the old one
  SaveCheckpointOrTell(session);
  return {};
}

// A review that was begun with names in sight does not become a blinded one, and nobody shall believe so.
Status CheckBlinded(const Review& review, const ReviewOptions& asked) {
  if (!asked.blinded || review.blinding != Blinding::kOpen) return {};
  return Error{
      ErrorCode::kBadCall,
      fmt::format("Review '{}' was begun before and is not blinded: a new one is begun with its first "
                  "entry by --blinded, --reviewer CODE and --review with an id of its own.",
                  review.id.value)};
}

// --kind and --self are of a review that is begun; one that is there already does not become another so.
Status CheckAsBegun(const Review& review, const ReviewOptions& asked) {
  AFTERSCOPE_TRY(CheckBlinded(review, asked));
  const bool other_kind = !asked.kind.empty() && asked.kind != WordOf(review.kind);
  if (!other_kind && (!asked.self || review.is_self)) return {};
  return Error{
      ErrorCode::kBadCall,
      fmt::format("Review '{}' was begun before and is {}: --review with an id of its own begins another, "
                  "--set-review {} changes this one.",
                  review.id.value,
                  other_kind ? fmt::format("a {} one", WordOf(review.kind)) : "not the operator's own",
                  other_kind ? "kind=" + asked.kind : "self_review=yes")};
}

Status Tag(const TagOptions& options) {
  AFTERSCOPE_ASSIGN(const OpenCaseOptions open, OpenOptionsFrom(options.review));
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(options.folder, open));
  AFTERSCOPE_TRY(CheckAsBegun(session->review(), options.review));
  Status done = CarryOut(*session, options);
  // Why a case can't be changed is told once.
  if (done.ok() || !session->read_only())
    for (const std::string& caution : session->cautions()) Say(stderr, "{}\n", caution);
  return done;
}

void BindSteps(CLI::App& sub, TagOptions& options) {
  sub.add_option("--step", options.step, "start a step: its key, with --at; with --to also its end");
  sub.add_option(
      "--at", options.at,
      "when: seconds (12.5) or a time (0:17, 1:02:03) on the case clock, frame index (f300, 1:f300), ticks "
      "(t90000, 1:t90000), 'end'");
  sub.add_option("--to", options.to, "end of the step or of the stretch of a scale");
  sub.add_option("--from", options.from, "start of the stretch of a scale");
  sub.add_option("--lane", options.lane, "0: what counts; 1: the other hand")->check(AnyNumber());
  sub.add_option("--end-step", options.end_step, "end the running step at this time");
  sub.add_option("--take-over", options.take_over, "the supervisor takes the instruments at this time");
  sub.add_option("--return", options.give_back, "the operator has the instruments again from this time on");
  sub.add_option("--move-start", options.move_start, "VISIT TIME")->expected(2);
  sub.add_option("--move-end", options.move_end, "VISIT TIME")->expected(2);
  sub.add_option("--split", options.split, "VISIT TIME")->expected(2);
  sub.add_option("--join", options.join, "a visit with the next one of its lane");
  sub.add_option("--rename", options.rename, "a visit; --step gives its new step");
  sub.add_option("--remove", options.remove, "ids of visits, moments, marks, trails, scales")->take_all();
}

void BindItems(CLI::App& sub, TagOptions& options) {
  sub.add_option("--moment", options.moment,
                 "remark, 'teaching point', complication, settings or check, with --at");
  sub.add_option("--key", options.key, "of the moment: which complication, check or preset");
  sub.add_option("--text", options.text, "of the moment or mark");
  sub.add_option("--field", options.fields, "NAME=VALUE of the moment or mark")->take_all();
  sub.add_option(
      "--mark", options.mark,
      "limbus, pupil, rhexis, 'lens edge', incision, ruler, object, grasp, arrow, label or cover, with --at");
  sub.add_option("--points", options.points, "x,y in pixels of the decoded picture")->take_all();
  sub.add_flag(
      "--propose", options.propose,
      "the outline is proposed from the picture: of a rhexis or lens from a few points on its edge; of a "
      "limbus or pupil without a point, or from one in the pupil");
  sub.add_option("--trail", options.trail, "a trail: its id, made if it is new");
  sub.add_option("--instrument", options.instrument, "of the trail");
  sub.add_option("--hand", options.hand, "of the trail: main or other");
  sub.add_option("--trail-points", options.trail_points,
                 "TIME,x,y of a tip, or TIME,x,y,x,y with a place on its shaft too, "
                 "where the program takes another direction for it")
      ->take_all();
  sub.add_option("--scale", options.scale, "a scale from limbus, object or ruler, with --of");
  sub.add_option("--of", options.scale_mark, "the mark of the scale");
  sub.add_option("--plane", options.plane, "of the scale: cornea, capsule, lens or sclera");
  sub.add_option("--known-mm", options.known_mm, "known size of the scale's mark")->check(AnyNumber());
  sub.add_option("--known-sd-mm", options.known_sd_mm, "its standard deviation")->check(AnyNumber());
  sub.add_option("--known-gauge", options.known_gauge,
                 "in place of both: the mark lies across a needle of that gauge, 18 to 33 (ISO 9626)")
      ->check(AnyNumber());
}

void BindWords(CLI::App& sub, TagOptions& options) {
  sub.add_option("--check", options.checks,
                 "KEY='seen done', 'seen not done', 'not visible' or 'not reviewed'")
      ->take_all();
  sub.add_option("--set", options.set, "FIELD=VALUE of the case")->take_all();
  sub.add_option("--set-review", options.set_review,
                 "FIELD=VALUE of the review: reviewer_code, kind, self_review, blinding")
      ->take_all();
  sub.add_option("--accept", options.accept, "drafts of the narration, or 'all', become part of the record")
      ->take_all();
  sub.add_option("--refuse", options.refuse, "drafts, or 'all', do not")->take_all();
  sub.add_option("--move-draft", options.move_draft, "DRAFT TIME; --to gives its end")->expected(2);
  sub.add_option("--own-view", options.own_view, "the trainee's own view");
  sub.add_option("--strength", options.strengths, "what was good; all are replaced")->take_all();
  sub.add_option("--change", options.change, "the one thing to change");
  sub.add_option("--drill", options.drill, "the agreed drill");
  sub.add_option("--drill-date", options.drill_date, "by when, YYYY-MM-DD");
  sub.add_option("--earlier-goal", options.earlier_goal,
                 "what became of the drill agreed before: met, 'partly met', 'not met' or 'not said'");
}

void BindSigning(CLI::App& sub, TagOptions& options) {
  sub.add_flag("--sign", options.sign, "sign the review, by --reviewer: from then on it is sealed");
  sub.add_option("--recognised", options.recognised,
                 "after a blinded review: whether the operator was recognised: no, perhaps or yes");
  sub.add_option("--answer", options.answer, "an answer to the signed review, with --by");
  sub.add_option("--by", options.answer_by, "code of who answers");
  sub.add_flag("--next-version", options.next_version,
               "begin a new version of the signed review, and print its id");
  sub.add_flag("--reviews", options.reviews, "print the reviews of the case");
  sub.add_flag("--history", options.history, "print who did what when in the review");
}

}  // namespace

Command TagCommand() {
  return {"tag", "Adds, moves and removes steps, take-overs, moments, settings, marks", [](CLI::App& sub) {
            auto options = std::make_shared<TagOptions>();
            sub.add_option("CASEDIR", options->folder, "case folder")->required();
            BindReviewOptions(sub, options->review);
            BindSteps(sub, *options);
            BindItems(sub, *options);
            BindWords(sub, *options);
            BindSigning(sub, *options);
            sub.add_option("--edits", options->edits,
                           "many edits from a file, or - for standard input, in the form of "
                           "annotate/store/FORMAT.md");
            sub.add_flag("--undo", options->undo,
                         "take the last change back; more often given, more changes");
            sub.add_flag("--redo", options->redo, "do again what was taken back");
            sub.add_option(
                "--scrub", options->scrub,
                "replace a text everywhere in the case and its journals, for good, and take the case's "
                "rows out of the index");
            sub.add_flag("--list", options->list, "print what the review holds");
            sub.add_flag("--json", options->json, "print it as JSON");
            return [options] {
              const Status done = Tag(*options);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
