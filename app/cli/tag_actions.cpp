// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/drafting.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"
#include "annotate/jobs/case_frames.hpp"
#include "annotate/jobs/propose_outline.hpp"
#include "annotate/jobs/series/series_follow_ups.hpp"
#include "app/cli/tag_options.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"
#include "app/common/key_cautions.hpp"
#include "metrics/scale/needle_gauge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace afterscope {
namespace {

template <class Enum>
Result<Enum> Word(const std::string& text, const char* option) {
  if (const auto known = FromWord<Enum>(text)) return *known;
  std::string words;
  for (const auto word : WordsOf<Enum>::kWords)
    words += fmt::format("{}'{}'", words.empty() ? "" : ", ", word);
  return BadCall(fmt::format("Can't read {} '{}': give one of {}.", option, text, words));
}

Result<PointPx> PointFrom(const std::string& text) {
  const std::vector<std::string> parts = SplitText(text, ',');
  const auto x = parts.size() == 2 ? NumberFrom(parts[0]) : std::nullopt;
  const auto y = parts.size() == 2 ? NumberFrom(parts[1]) : std::nullopt;
  if (!x || !y) return BadCall(fmt::format("Can't read the point '{}': give x,y in pixels.", text));
  return PointPx{*x, *y};
}

class Tagger {
 public:
  Tagger(CaseSession& session, const TagOptions& options)
      : session_(session), options_(options), times_(session), keys_(session) {}

  Result<int> All() {
    using Action = Result<EditGroup> (Tagger::*)();
    const std::pair<bool, Action> actions[] = {
        {!options_.set.empty(), &Tagger::CaseFields},
        {!options_.set_review.empty(), &Tagger::ReviewFields},
        {!options_.rename.empty(), &Tagger::Rename},
        {options_.rename.empty() && !options_.step.empty(), &Tagger::StartOfStep},
        {!options_.end_step.empty(), &Tagger::EndOfStep},
        {!options_.take_over.empty(), &Tagger::Taken},
        {!options_.give_back.empty(), &Tagger::GivenBack},
        {!options_.move_start.empty(), &Tagger::MoveStart},
        {!options_.move_end.empty(), &Tagger::MoveEnd},
        {!options_.split.empty(), &Tagger::Split},
        {!options_.join.empty(), &Tagger::Join},
        {!options_.moment.empty(), &Tagger::AddMoment},
        {!options_.mark.empty(), &Tagger::AddMark},
        {!options_.trail.empty(), &Tagger::AddTrail},
        {!options_.scale.empty(), &Tagger::AddScale},
        {!options_.checks.empty(), &Tagger::Checks},
        {HasAssessment(), &Tagger::Words},
        {!options_.remove.empty(), &Tagger::RemoveItems},
    };
    int done = 0;
    for (const auto& [wanted, action] : actions) {
      if (!wanted) continue;
      AFTERSCOPE_ASSIGN(const EditGroup group, (this->*action)());
      const std::vector<std::string> cautions = keys_.Of(group);
      AFTERSCOPE_TRY(session_.Commit(group));
      for (const std::string& caution : cautions) Say(stderr, "{}\n", caution);
      ++done;
    }
    AFTERSCOPE_ASSIGN(const int drafts, Drafts());
    return done + drafts;
  }

 private:
  // Each draft a group of its own, so that each can be taken back.
  Result<int> Drafts() {
    int done = 0;
    if (!options_.move_draft.empty()) {
      AFTERSCOPE_ASSIGN(const FrameRef start, times_.Read(options_.move_draft[1]));
      std::optional<FrameRef> end;
      if (!options_.to.empty()) {
        AFTERSCOPE_ASSIGN(end, times_.Read(options_.to));
      }
      AFTERSCOPE_ASSIGN(const EditGroup group,
                        MoveDraft(session_.review(), {options_.move_draft[0]}, start, end));
      AFTERSCOPE_TRY(session_.Commit(group));
      ++done;
    }
    const DraftIdSources ids{[this] { return session_.NewVisitId(); },
                             [this] { return session_.NewMomentId(); }};
    const CaseClock clock(session_.record().recordings);
    const bool all = options_.accept == std::vector<std::string>{"all"};
    for (const DraftId& draft : Named(options_.accept)) {
      const Result<EditGroup> group = AcceptDraft(session_.review(), draft, clock, ids);
      if (!group.ok() && !all) return group.error();
      if (!group.ok()) {
        Say(stderr, "{}\n", group.error().message);  // it stays open
        continue;
      }
      AFTERSCOPE_TRY(session_.Commit(*group));
      AFTERSCOPE_TRY(PlanIfFollowUp(draft));
      ++done;
    }
    for (const DraftId& draft : Named(options_.refuse)) {
      AFTERSCOPE_ASSIGN(const EditGroup group, RefuseDraft(session_.review(), draft));
      AFTERSCOPE_TRY(session_.Commit(group));
      ++done;
    }
    return done;
  }

  // A group of its own: it changes the case.
  Status PlanIfFollowUp(const DraftId& id) {
    for (const Draft& draft : session_.review().drafts) {
      if (draft.id != id || draft.kind != DraftKind::kFollowUp) continue;
      const Result<EditGroup> plan = PlanSpokenFollowUp(session_.record(), draft);
      if (plan.ok()) return plan->edits.empty() ? Status() : session_.Commit(*plan);
      Say(stderr, "{}\n", plan.error().message);  // it stays a remark
    }
    return {};
  }

  // The drafts of those ids; "all" stands for those that are still open.
  std::vector<DraftId> Named(const std::vector<std::string>& ids) const {
    std::vector<DraftId> drafts;
    for (const std::string& id : ids) {
      if (id != "all") drafts.push_back({id});
      for (const Draft& draft : session_.review().drafts)
        if (id == "all" && draft.state == DraftState::kOpen) drafts.push_back(draft.id);
    }
    return drafts;
  }

  VisitIdSource NewVisit() {
    return [this] { return session_.NewVisitId(); };
  }
  Result<FrameRef> At(const char* what) {
    if (options_.at.empty()) return BadCall(fmt::format("A {} needs --at.", what));
    return times_.Read(options_.at);
  }
  Result<std::map<std::string, std::string>> Fields() const {
    std::map<std::string, std::string> fields;
    for (const std::string& text : options_.fields) {
      AFTERSCOPE_ASSIGN(const auto field, NameAndValue(text, "--field"));
      fields.insert(field);
    }
    return fields;
  }

  Result<EditGroup> CaseFields() { return FieldEdits(options_.set); }
  Result<EditGroup> ReviewFields() {
    EditGroup group{"Set fields of the review", {}};
    for (const std::string& text : options_.set_review) {
      AFTERSCOPE_ASSIGN(const auto field, NameAndValue(text, "--set-review"));
      group.edits.emplace_back(SetReviewField{field.first, field.second});
    }
    return group;
  }

  Result<EditGroup> StartOfStep() {
    AFTERSCOPE_ASSIGN(const FrameRef at, At("step"));
    if (options_.to.empty())
      return StartStep(session_.review(), options_.step, at, NewVisit(), options_.lane);
    AFTERSCOPE_ASSIGN(const FrameRef end, times_.Read(options_.to));
    StepVisit visit{session_.NewVisitId(), options_.step, options_.lane, at, end, "", false};
    return EditGroup{"Add step", {Put<StepVisit>{visit}}};
  }
  Result<EditGroup> EndOfStep() {
    AFTERSCOPE_ASSIGN(const FrameRef at, times_.Read(options_.end_step));
    return EndStep(session_.review(), at, options_.lane);
  }
  Result<EditGroup> Taken() {
    AFTERSCOPE_ASSIGN(const FrameRef at, times_.Read(options_.take_over));
    return TakeOver(session_.review(), session_.record(), at, NewVisit());
  }
  Result<EditGroup> GivenBack() {
    AFTERSCOPE_ASSIGN(const FrameRef at, times_.Read(options_.give_back));
    return ReturnInstruments(session_.review(), at, NewVisit());
  }
  Result<EditGroup> MoveStart() { return Move(options_.move_start, VisitEdge::kStart); }
  Result<EditGroup> MoveEnd() { return Move(options_.move_end, VisitEdge::kEnd); }
  Result<EditGroup> Move(const std::vector<std::string>& what, VisitEdge edge) {
    AFTERSCOPE_ASSIGN(const FrameRef to, times_.Read(what[1]));
    return MoveBoundary(session_.review(), {what[0]}, edge, to);
  }
  Result<EditGroup> Split() {
    AFTERSCOPE_ASSIGN(const FrameRef at, times_.Read(options_.split[1]));
    return SplitVisit(session_.review(), {options_.split[0]}, at, session_.NewVisitId());
  }
  Result<EditGroup> Join() { return JoinWithNext(session_.review(), {options_.join}); }
  Result<EditGroup> Rename() {
    if (options_.step.empty()) return BadCall("--rename needs the new name by --step.");
    return RenameStep(session_.review(), {options_.rename}, options_.step);
  }

  Result<EditGroup> AddMoment() {
    Moment moment;
    AFTERSCOPE_ASSIGN(moment.kind, Word<MomentKind>(options_.moment, "--moment"));
    AFTERSCOPE_ASSIGN(moment.at, At("moment"));
    AFTERSCOPE_ASSIGN(moment.fields, Fields());
    moment.id = session_.NewMomentId();
    moment.key = options_.key;
    moment.text = options_.text;
    return EditGroup{fmt::format("Add {}", options_.moment), {Put<Moment>{moment}}};
  }

  Result<EditGroup> AddMark() {
    Mark mark;
    AFTERSCOPE_ASSIGN(mark.kind, Word<MarkKind>(options_.mark, "--mark"));
    AFTERSCOPE_ASSIGN(mark.at, At("mark"));
    AFTERSCOPE_ASSIGN(mark.fields, Fields());
    for (const std::string& text : options_.points) {
      AFTERSCOPE_ASSIGN(const PointPx point, PointFrom(text));
      mark.points.push_back(point);
    }
    mark.id = session_.NewMarkId();
    mark.text = options_.text;
    if (options_.propose) {
      AFTERSCOPE_ASSIGN(mark, Proposed(mark));
    }
    return EditGroup{fmt::format("Mark {}", options_.mark), {Put<Mark>{mark}}};
  }

  // The whole outline from the points given, if any; says on standard error how well its edge is seen.
  Result<Mark> Proposed(const Mark& clicks) {
    CaseFrames frames(session_.folder(), session_.record());
    AFTERSCOPE_ASSIGN(const Picture picture, frames.Frame(clicks.at, ConsoleStop()));
    AFTERSCOPE_ASSIGN(const ProposedOutline outline,
                      ProposeOutline(session_.record(), session_.review(), clicks, picture));
    Say(stderr, "{}\n", outline.said);
    return outline.mark;
  }

  Result<TrailPoint> TrailPointFrom(const std::string& text) {
    const std::vector<std::string> parts = SplitText(text, ',');
    if (parts.size() != 3 && parts.size() != 5)
      return BadCall(
          fmt::format("Can't read the trail point '{}': give TIME,x,y, or TIME,x,y,x,y with a place on its "
                      "shaft.",
                      text));
    TrailPoint point;
    AFTERSCOPE_ASSIGN(point.at, times_.Read(parts[0]));
    AFTERSCOPE_ASSIGN(point.tip, PointFrom(parts[1] + "," + parts[2]));
    if (parts.size() == 3) return point;
    AFTERSCOPE_ASSIGN(point.shaft, PointFrom(parts[3] + "," + parts[4]));
    return point;
  }

  Result<EditGroup> AddTrail() {
    EditGroup group{"Mark trail points", {}};
    const TrailId id{options_.trail};
    const auto& trails = session_.review().trails;
    const auto known = std::find_if(trails.begin(), trails.end(), [&](const Trail& t) { return t.id == id; });
    if (known == trails.end() || !options_.instrument.empty() || !options_.hand.empty()) {
      Trail trail = known == trails.end() ? Trail{id, "", "main", {}, {}} : *known;
      if (!options_.instrument.empty()) trail.instrument = options_.instrument;
      if (!options_.hand.empty()) trail.hand = options_.hand;
      group.edits.emplace_back(Put<Trail>{std::move(trail)});
    }
    SetTrailPoints set{id, {}, {}};
    for (const std::string& text : options_.trail_points) {
      AFTERSCOPE_ASSIGN(const TrailPoint point, TrailPointFrom(text));
      set.points.push_back(point);
    }
    group.edits.emplace_back(std::move(set));
    return group;
  }

  Result<EditGroup> AddScale() {
    ScaleDef scale;
    AFTERSCOPE_ASSIGN(scale.source, Word<ScaleSource>(options_.scale, "--scale"));
    AFTERSCOPE_ASSIGN(scale.plane, Word<Plane>(options_.plane, "--plane"));
    if (options_.scale_mark.empty()) return BadCall("A scale needs its mark by --of.");
    if (options_.from.empty() != options_.to.empty())
      return BadCall("The stretch of a scale needs --from and --to.");
    if (!options_.from.empty()) {
      HalfOpen<FrameRef> range;
      AFTERSCOPE_ASSIGN(range.start, times_.Read(options_.from));
      AFTERSCOPE_ASSIGN(range.end, times_.Read(options_.to));
      scale.range = range;
    }
    scale.id = session_.NewScaleId();
    scale.mark = {options_.scale_mark};
    scale.known_mm = options_.known_mm;
    scale.known_sd_mm = options_.known_sd_mm;
    if (options_.known_gauge) {
      if (options_.known_mm || options_.known_sd_mm)
        return BadCall("Give either --known-gauge or --known-mm with --known-sd-mm.");
      const auto needle = NeedleDiameter(*options_.known_gauge);
      if (!needle)
        return BadCall(fmt::format("The diameter of a needle of {} G is not known here: 18 to 33 are.",
                                   *options_.known_gauge));
      scale.known_mm = needle->mm, scale.known_sd_mm = needle->sd;
    }
    return EditGroup{"Add scale", {Put<ScaleDef>{scale}}};
  }

  Result<EditGroup> Checks() {
    EditGroup group{"Note checks", {}};
    for (const std::string& text : options_.checks) {
      AFTERSCOPE_ASSIGN(const auto check, NameAndValue(text, "--check"));
      AFTERSCOPE_ASSIGN(const CheckState state, Word<CheckState>(check.second, "--check"));
      group.edits.emplace_back(SetCheck{check.first, state});
    }
    return group;
  }

  bool HasAssessment() const {
    return options_.own_view || !options_.strengths.empty() || options_.change || options_.drill ||
           options_.drill_date || options_.earlier_goal;
  }
  Result<EditGroup> Words() {
    Assessment words = session_.review().assessment;
    if (options_.own_view) words.own_view = *options_.own_view;
    if (!options_.strengths.empty()) words.strengths = options_.strengths;
    if (options_.change) words.change = *options_.change;
    if (options_.drill) words.drill = *options_.drill;
    if (options_.drill_date) words.drill_date = *options_.drill_date;
    if (options_.earlier_goal) {
      AFTERSCOPE_ASSIGN(words.earlier_goal, Word<GoalOutcome>(*options_.earlier_goal, "--earlier-goal"));
    }
    return EditGroup{"Write the assessment", {SetAssessment{words}}};
  }

  template <class Item>
  static bool Has(const std::vector<Item>& items, const std::string& id) {
    return std::any_of(items.begin(), items.end(), [&](const Item& item) { return item.id.value == id; });
  }

  Result<EditGroup> RemoveItems() {
    EditGroup group{"Remove", {}};
    const Review& review = session_.review();
    for (const std::string& id : options_.remove) {
      if (Has(review.visits, id)) {
        group.edits.emplace_back(Remove<VisitId>{{id}});
      } else if (Has(review.moments, id)) {
        group.edits.emplace_back(Remove<MomentId>{{id}});
      } else if (Has(review.marks, id)) {
        AFTERSCOPE_ASSIGN(const EditGroup mark, RemoveMark(review, {id}));
        group.edits.insert(group.edits.end(), mark.edits.begin(), mark.edits.end());
      } else if (Has(review.trails, id)) {
        group.edits.emplace_back(Remove<TrailId>{{id}});
      } else if (Has(review.scales, id)) {
        group.edits.emplace_back(Remove<ScaleId>{{id}});
      } else {
        return BadCall(fmt::format("There is nothing with the id '{}' in this review.", id));
      }
    }
    return group;
  }

  CaseSession& session_;
  const TagOptions& options_;
  CaseTimes times_;
  KeyCautions keys_;
};

}  // namespace

Result<int> CarryOutTags(CaseSession& session, const TagOptions& options) {
  return Tagger(session, options).All();
}

}  // namespace afterscope
