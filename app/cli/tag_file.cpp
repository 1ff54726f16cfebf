// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/blinding.hpp"
#include "annotate/case/case_clock.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/case/words.hpp"
#include "annotate/store/case_json.hpp"
#include "annotate/store/edit_json.hpp"
#include "annotate/store/review_json.hpp"
#include "annotate/store/spoken.hpp"
#include "app/cli/tag_options.hpp"
#include "app/common/case_time.hpp"
#include "app/common/console.hpp"
#include "app/common/field_options.hpp"
#include "app/common/key_cautions.hpp"
#include "app/common/text_output.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <iostream>
#include <iterator>

namespace afterscope {
namespace {

constexpr std::int64_t kMostTagFileBytes = 64LL << 20;

Result<std::string> TextOf(const std::string& file) {
  if (file != "-") return RealFileSystem().ReadAll(file, kMostTagFileBytes);
  std::string text;
  char block[65536];
  while (std::cin.read(block, sizeof block), std::cin.gcount() > 0) {
    text.append(block, static_cast<std::size_t>(std::cin.gcount()));
    if (static_cast<std::int64_t>(text.size()) > kMostTagFileBytes)
      return Error{ErrorCode::kUnreadable, "Standard input holds more than 64 MiB."};
  }
  return text;
}

template <class Item, class ItemId>
void GiveId(Edit& edit, const std::function<ItemId()>& fresh) {
  if (auto* put = std::get_if<Put<Item>>(&edit); put && put->item.id.empty()) put->item.id = fresh();
}

void GiveIds(EditGroup& group, CaseSession& session) {
  for (Edit& edit : group.edits) {
    GiveId<StepVisit, VisitId>(edit, [&] { return session.NewVisitId(); });
    GiveId<Moment, MomentId>(edit, [&] { return session.NewMomentId(); });
    GiveId<Mark, MarkId>(edit, [&] { return session.NewMarkId(); });
    GiveId<Trail, TrailId>(edit, [&] { return session.NewTrailId(); });
    GiveId<ScaleDef, ScaleId>(edit, [&] { return session.NewScaleId(); });
    GiveId<Caption, CaptionId>(edit, [&] { return session.NewCaptionId(); });
    GiveId<Draft, DraftId>(edit, [&] { return session.NewDraftId(); });
  }
}

void PrintVisits(const CaseSession& session, const CaseClock& clock) {
  const Review review = ShownReview(session.record(), session.review());
  for (const StepVisit& visit : review.visits) {
    const double start = clock.Seconds(visit.start);
    const double end = clock.Seconds(EndOf(review, visit, clock.end()));
    Say("{}\tstep\t{}\t{}\t{:.3f}\t{}", visit.id.value, ReadableTime(start), ReadableTime(end), end - start,
        visit.step);
    if (visit.lane > 0) Say("\tother hand");
    if (!visit.end) Say("\topen");
    if (visit.taken_over) Say("\ttaken over by {}", visit.operator_code);
    Say("\n");
  }
}

void PrintTheRest(const CaseSession& session, const CaseClock& clock) {
  const Review& review = session.review();
  for (const Moment& moment : review.moments)
    Say("{}\t{}\t{}\t{}\t{}\n", moment.id.value, WordOf(moment.kind), ReadableTime(clock.Seconds(moment.at)),
        moment.key, ShownText(moment));
  for (const Mark& mark : review.marks)
    Say("{}\t{}\t{}\t{} points\t{}\n", mark.id.value, WordOf(mark.kind), ReadableTime(clock.Seconds(mark.at)),
        mark.points.size(), mark.text);
  for (const Trail& trail : review.trails)
    Say("{}\ttrail\t{}\t{} points\n", trail.id.value, trail.instrument, trail.points.size());
  for (const ScaleDef& scale : review.scales)
    Say("{}\tscale\t{}\tof {}\n", scale.id.value, WordOf(scale.source), scale.mark.value);
  for (const Draft& draft : review.drafts)
    Say("{}\t{} draft\t{}\t{}\t{}\t{:.2f}\t{}\n", draft.id.value, WordOf(draft.state),
        ReadableTime(clock.Seconds(draft.start)), WordOf(draft.kind), draft.key, draft.confidence,
        draft.words);
  for (const auto& [key, state] : review.checks) Say("\tcheck\t{}\t{}\n", key, WordOf(state));
}

bool IsEmpty(const Review& review) {
  return review.visits.empty() && review.moments.empty() && review.marks.empty() && review.trails.empty() &&
         review.scales.empty() && review.drafts.empty() && review.checks.empty();
}

}  // namespace

Result<int> CarryOutEditsFile(CaseSession& session, const std::string& file) {
  const std::string name = file == "-" ? "standard input" : fmt::format("'{}'", file);
  AFTERSCOPE_ASSIGN(const std::string text, TextOf(file));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, name));
  AFTERSCOPE_ASSIGN(std::vector<EditGroup> groups, EditGroupsFrom(json, name));
  for (const EditGroup& group : groups) AFTERSCOPE_TRY(CheckKnownFields(group));
  KeyCautions keys(session);
  for (EditGroup& group : groups) {
    GiveIds(group, session);
    const std::vector<std::string> cautions = keys.Of(group);
    AFTERSCOPE_TRY(session.Commit(group));
    for (const std::string& caution : cautions) Say(stderr, "{}\n", caution);
  }
  return static_cast<int>(groups.size());
}

void PrintReview(const CaseSession& session, bool json) {
  if (json) {
    const Json all{{"case", JsonFrom(ShownRecord(session.record(), session.review()))},
                   {"review", JsonFrom(ShownReview(session.record(), session.review()))}};
    ShowJson(ReadableText(all));
    return;
  }
  if (IsEmpty(session.review())) return Say("Nothing is tagged or marked in this review yet.\n");
  const CaseClock clock(session.record().recordings);
  PrintVisits(session, clock);
  PrintTheRest(session, clock);
}

}  // namespace afterscope
