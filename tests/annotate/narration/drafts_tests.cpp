// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/drafting.hpp"
#include "annotate/narration/align_steps.hpp"
#include "annotate/narration/narration_edits.hpp"
#include "metrics/agreement/visit_f1.hpp"
#include "tests/annotate/narration/narration_support.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <limits>

namespace afterscope {
namespace {

// AFTERSCOPE_LIST_DRAFTS=1 lists the steps as they were and as they are proposed, in order of time.
void ListSteps(const ToldCase& told, const std::vector<LabelledSpan>& drafts) {
  std::vector<std::pair<std::int64_t, std::string>> lines;
  const auto add = [&](const char* what, const LabelledSpan& span) {
    lines.emplace_back(span.span.start,
                       fmt::format("{:5} to {:5} s {} {}", span.span.start / 1000, span.span.end / 1000, what,
                                   told.list.steps[static_cast<std::size_t>(span.label)].key));
  };
  for (const LabelledSpan& span : told.truth) add("was", span);
  for (const LabelledSpan& span : drafts) add("    proposed", span);
  std::sort(lines.begin(), lines.end());
  for (const auto& line : lines) WARN(line.second);
}

double F1Of(const ToldCase& told) {
  const NarrationRules& rules = RulesFor(told);
  std::vector<LabelledSpan> drafts;
  for (const SpokenStep& step : AlignSteps(ClausesOf(told.text.cues, rules), rules, told.list))
    drafts.push_back(
        {static_cast<int>(step.step), {std::llround(step.start * 1000), std::llround(step.end * 1000)}});
  if (std::getenv("AFTERSCOPE_LIST_DRAFTS") != nullptr) ListSteps(told, drafts);
  const auto f1 = VisitF1At(told.truth, drafts, 0.5);
  REQUIRE(f1.ok());
  return f1->f1;
}

double MedianF1(const std::string& prefix, std::size_t least) {
  std::vector<double> all;
  for (const ToldCase& told : ToldCases(prefix)) {
    all.push_back(F1Of(told));
    WARN(told.name << ": F1 at 50 % overlap " << all.back());
  }
  REQUIRE(all.size() >= least);
  std::sort(all.begin(), all.end());
  return (all[(all.size() - 1) / 2] + all[all.size() / 2]) / 2;
}

struct Told {
  CaseRecord record;
  Review review;
  int ids = 0;

  CaseClock Clock() const { return CaseClock(record.recordings); }
  DraftIdSources Ids() {
    return {[this] { return VisitId{fmt::format("v{}", ++ids)}; },
            [this] { return MomentId{fmt::format("o{}", ++ids)}; }};
  }
  void Apply(const Result<EditGroup>& group) {
    REQUIRE(group.ok());
    const auto inverse = ApplyEdits(*group, record, review);
    INFO((inverse.ok() ? "" : inverse.error().message));
    REQUIRE(inverse.ok());
  }
};

Told Import(const std::string& name) {
  Told told;
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = Pts{600'000};
  told.record.recordings = {recording};
  const ToldCase narration = ToldCases(name).front();
  NarrationInput input{narration.text, &RulesFor(narration), &narration.list,
                       *LoadSettingRanges(std::string(places::kAssets) + "/settings.json"), 0};
  int left_out = -1;
  told.Apply(NarrationEdits(input, told.review, CaseClock(told.record.recordings),
                            {[&] { return CaptionId{fmt::format("c{}", ++told.ids)}; },
                             [&] { return DraftId{fmt::format("d{}", ++told.ids)}; }},
                            left_out));
  CHECK(left_out == 0);
  CHECK(told.review.captions.size() == narration.text.cues.size());
  return told;
}

const Draft* Find(const Review& review, DraftKind kind, const std::string& key) {
  for (const Draft& draft : review.drafts)
    if (draft.kind == kind && draft.key == key) return &draft;
  return nullptr;
}

}  // namespace

// Invented narrations: a regression figure, no proof. Those named "before" were written before the rules,
// which were made on them. Those named "after" and "later" were each written by someone who had not seen the
// rules as they stood, and have been learned from since: at first sight "after" had a median of 0.54 and
// "later" 0.52 (with the rules that "after" was tried with, 0.32), where 0.80 is wanted. Those named "fresh"
// were written without sight of the rules once these were frozen, and have not been learned from: at first
// sight 0.84, 1.00, 0.86, 0.48, 0.97, 0.90, a median of 0.88. "talk" and "held" are talk as surgeons talk,
// who announce no step and digress at length, written without sight of the rules: at first sight "talk" had
// 0.80, 0.65, 0.39, 0.50 and "held" 0.43, 0.69. The rules have learned from "talk" since, and not from "held"
// nor "fresh", which then had 0.63, 0.84, and a median of 0.92. "unseen" are five more of that kind, written
// without sight of the rules: at first sight 0.97, 0.67, 0.45, 0.79, 0.41, a median of 0.67. From them the
// weights of the alignment have learned since, with no word added to the rules, and what it knows of how
// long steps last. "second" was written when that was done, by someone who had seen a part of the word lists:
// at first sight 0.64, 0.78, 0.55; that steps go on in silence was seen on it. "third" was written after
// that, and has changed nothing: 0.97, 0.97.
TEST_CASE("Steps are told from invented narrations", "[narration]") {
  CHECK(MedianF1("before", 6) >= 0.95);
  CHECK(MedianF1("after", 6) >= 0.85);
  CHECK(MedianF1("later", 6) >= 0.7);
  CHECK(MedianF1("fresh", 6) >= 0.9);
  CHECK(MedianF1("talk", 4) >= 0.9);
  CHECK(MedianF1("held", 2) >= 0.8);
  CHECK(MedianF1("unseen", 5) >= 0.85);
  CHECK(MedianF1("second", 3) >= 0.75);
  CHECK(MedianF1("third", 2) >= 0.9);
}

TEST_CASE("A narration's drafts are accepted one by one, and nothing before", "[narration]") {
  Told told = Import("before_3");
  CHECK(told.review.visits.empty());
  CHECK(told.review.moments.empty());

  const Draft* const tear = Find(told.review, DraftKind::kComplication, "posterior_capsule_rupture");
  REQUIRE(tear);
  CHECK(tear->fields.at("step_arisen") == "fragment_removal");
  told.Apply(AcceptDraft(told.review, tear->id, told.Clock(), told.Ids()));
  REQUIRE(told.review.moments.size() == 1);
  CHECK(told.review.moments[0].kind == MomentKind::kComplication);

  const Draft* const fragments = Find(told.review, DraftKind::kSettings, "fragments");
  REQUIRE(fragments);
  CHECK(fragments->fields.at("vacuum_mmhg") == "350");
  CHECK(fragments->fields.at("bottle_cm") == "100");

  const DraftId rhexis = Find(told.review, DraftKind::kStep, "rhexis")->id;
  told.Apply(AcceptDraft(told.review, rhexis, told.Clock(), told.Ids()));
  REQUIRE(told.review.visits.size() == 1);
  CHECK(told.review.visits[0].step == "rhexis");
  CHECK_FALSE(AcceptDraft(told.review, rhexis, told.Clock(), told.Ids()).ok());

  const DraftId lens = Find(told.review, DraftKind::kStep, "lens")->id;
  told.Apply(RefuseDraft(told.review, lens));
  CHECK_FALSE(AcceptDraft(told.review, lens, told.Clock(), told.Ids()).ok());

  const Draft* const check = Find(told.review, DraftKind::kCheck, "wound_tight");
  REQUIRE(check);
  told.Apply(AcceptDraft(told.review, check->id, told.Clock(), told.Ids()));
  CHECK(told.review.checks.at("wound_tight") == CheckState::kSeenDone);
}

TEST_CASE("A step that was tagged by hand stays; the draft takes what is free", "[narration]") {
  Told told = Import("before_3");
  const Draft rhexis = *Find(told.review, DraftKind::kStep, "rhexis");
  const FrameRef middle{0, Pts{(rhexis.start.pts.ticks + rhexis.end->pts.ticks) / 2}};
  told.Apply(EditGroup{"", {Put<StepVisit>{{{"hand"}, "stain", 0, rhexis.start, middle, "", false}}}});
  told.Apply(AcceptDraft(told.review, rhexis.id, told.Clock(), told.Ids()));
  REQUIRE(told.review.visits.size() == 2);
  CHECK(told.review.visits[1].start == middle);
  CHECK(told.review.visits[1].end == rhexis.end);

  const Draft lens = *Find(told.review, DraftKind::kStep, "lens");
  told.Apply(EditGroup{"", {Put<StepVisit>{{{"all"}, "cortex", 0, lens.start, lens.end, "", false}}}});
  CHECK_FALSE(AcceptDraft(told.review, lens.id, told.Clock(), told.Ids()).ok());
  told.Apply(MoveDraft(told.review, lens.id, *lens.end, {}));
  told.Apply(AcceptDraft(told.review, lens.id, told.Clock(), told.Ids()));
}

TEST_CASE("A step that is spoken of twice is one visit", "[narration]") {
  Told told;
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = Pts{600'000};
  told.record.recordings = {recording};
  const auto at = [](std::int64_t seconds) { return FrameRef{0, Pts{seconds * 1000}}; };
  const auto draft = [&](const char* id, const char* step, std::int64_t from, std::int64_t to) {
    Draft made;
    made.id = DraftId{id};
    made.start = at(from);
    made.end = at(to);
    made.key = step;
    told.Apply(EditGroup{"", {Put<Draft>{made}}});
    told.Apply(AcceptDraft(told.review, made.id, told.Clock(), told.Ids()));
    CHECK(told.review.drafts.back().state == DraftState::kAccepted);
  };
  draft("d1", "rhexis", 100, 140);
  draft("d2", "rhexis", 150, 160);  // ten seconds later, nothing between
  REQUIRE(told.review.visits.size() == 1);
  CHECK(told.review.visits[0].start == at(100));
  CHECK(told.review.visits[0].end == at(160));
  draft("d3", "rhexis", 110, 120);  // within it
  draft("d4", "rhexis", 90, 105);   // over its beginning
  REQUIRE(told.review.visits.size() == 1);
  CHECK(told.review.visits[0].start == at(90));
  draft("d5", "stain", 162, 168);
  draft("d6", "rhexis", 170, 180);  // near, but another step lies between
  draft("d7", "rhexis", 300, 320);  // far
  CHECK(told.review.visits.size() == 4);
}

TEST_CASE("What is told of another time or denied is not proposed", "[narration]") {
  const StepList list = ToldCases("before_1").front().list;
  const NarrationRules& rules = ShippedRules().front();
  REQUIRE(rules.language == "en");
  TimedText text;
  text.cues = {{0, 10, "In the previous case we had a posterior capsule rupture."},
               {10, 20, "There is no posterior capsule tear and no leak."},
               {20, 30, "Vacuum at 5000 now."}};
  const std::vector<SpokenDraft> drafts = DraftsFrom(text, rules, list, {{"vacuum_mmhg", {0, 700}}});
  for (const SpokenDraft& draft : drafts) CHECK(draft.kind != DraftKind::kComplication);
  const auto settings = std::find_if(drafts.begin(), drafts.end(), [](const SpokenDraft& draft) {
    return draft.kind == DraftKind::kSettings;
  });
  REQUIRE(settings != drafts.end());
  CHECK(settings->fields.at("vacuum_mmhg") == "5000");
  CHECK(settings->confidence < 0.5);  // far beyond what a machine sets
  CHECK(DraftsFrom({}, rules, list, {}).empty());
}

TEST_CASE("A follow-up is heard with its days", "[narration]") {
  const Told told = Import("before_2");
  const Draft* const again = Find(told.review, DraftKind::kFollowUp, "");
  REQUIRE(again);
  CHECK(again->fields.at("from_days") == "60");  // "after two to three months", months of 30 days
  CHECK(again->fields.at("to_days") == "90");
}

TEST_CASE("With an offset that is no number nothing is taken in", "[narration]") {
  const TimedText text{{{1, 2, "Now the rhexis"}, {3, 4, "Now the lens"}}, {}};
  for (const double offset :
       {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
    RecordingRef recording;
    recording.shape.time_base = {1, 1000};
    recording.shape.end = Pts{600'000};
    NarrationInput input;
    input.text = text;
    input.offset = offset;
    int left_out = 0;
    const EditGroup group =
        NarrationEdits(input, {}, CaseClock({recording}),
                       {[] { return CaptionId{"c1"}; }, [] { return DraftId{"d1"}; }}, left_out);
    CHECK(left_out == 2);
    CHECK(group.edits.empty());
  }
}

}  // namespace afterscope
