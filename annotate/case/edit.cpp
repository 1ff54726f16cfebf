// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit.hpp"

#include "annotate/case/case_fields.hpp"
#include "annotate/case/edit_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <unordered_set>
#include <utility>

namespace afterscope {
namespace {

Error Unknown(const char* what, const std::string& id) {
  return {ErrorCode::kBadCall, fmt::format("There is no {} '{}'.", what, id)};
}

bool Before(const StepVisit& a, const StepVisit& b) {
  return std::tie(a.lane, a.start, a.id) < std::tie(b.lane, b.start, b.id);
}
bool Before(const Moment& a, const Moment& b) { return std::tie(a.at, a.id) < std::tie(b.at, b.id); }
bool Before(const Mark& a, const Mark& b) { return std::tie(a.at, a.id) < std::tie(b.at, b.id); }
bool Before(const Trail& a, const Trail& b) { return a.id < b.id; }
bool Before(const ScaleDef& a, const ScaleDef& b) { return a.id < b.id; }
bool Before(const Caption& a, const Caption& b) { return std::tie(a.start, a.id) < std::tie(b.start, b.id); }
bool Before(const Draft& a, const Draft& b) { return std::tie(a.start, a.id) < std::tie(b.start, b.id); }
bool Before(const Score& a, const Score& b) { return a.id < b.id; }
bool Before(const SignedReview& a, const SignedReview& b) { return a.id < b.id; }

std::vector<StepVisit>& ItemsOf(CaseRecord&, Review& review, const VisitId&) { return review.visits; }
std::vector<Moment>& ItemsOf(CaseRecord&, Review& review, const MomentId&) { return review.moments; }
std::vector<Mark>& ItemsOf(CaseRecord&, Review& review, const MarkId&) { return review.marks; }
std::vector<Trail>& ItemsOf(CaseRecord&, Review& review, const TrailId&) { return review.trails; }
std::vector<ScaleDef>& ItemsOf(CaseRecord&, Review& review, const ScaleId&) { return review.scales; }
std::vector<Caption>& ItemsOf(CaseRecord&, Review& review, const CaptionId&) { return review.captions; }
std::vector<Draft>& ItemsOf(CaseRecord&, Review& review, const DraftId&) { return review.drafts; }
std::vector<Score>& ItemsOf(CaseRecord&, Review& review, const ScoreId&) { return review.scores; }
std::vector<SignedReview>& ItemsOf(CaseRecord& record, Review&, const ReviewId&) {
  return record.signed_reviews;
}

const char* WordFor(const VisitId&) { return "step visit"; }
const char* WordFor(const MomentId&) { return "moment"; }
const char* WordFor(const MarkId&) { return "mark"; }
const char* WordFor(const TrailId&) { return "trail"; }
const char* WordFor(const ScaleId&) { return "scale"; }
const char* WordFor(const CaptionId&) { return "caption"; }
const char* WordFor(const DraftId&) { return "draft"; }
const char* WordFor(const ScoreId&) { return "score"; }
const char* WordFor(const ReviewId&) { return "signed review"; }

template <class ItemId>
std::string TextOf(const ItemId& id) {
  return id.value;
}
std::string TextOf(const ScoreId& id) { return fmt::format("{}/{}", id.sheet, id.item); }

template <class Item, class ItemId>
auto FindById(std::vector<Item>& items, const ItemId& id) {
  return std::find_if(items.begin(), items.end(), [&](const Item& item) { return item.id == id; });
}

template <class Item>
void Insert(std::vector<Item>& items, Item item) {
  const auto after = std::upper_bound(items.begin(), items.end(), item,
                                      [](const Item& a, const Item& b) { return Before(a, b); });
  items.insert(after, std::move(item));
}

auto PointAt(Trail& trail, FrameRef at) {
  return std::lower_bound(trail.points.begin(), trail.points.end(), at,
                          [](const TrailPoint& point, FrameRef frame) { return point.at < frame; });
}

// Carries out one edit and returns its inverse.
struct Applier {
  CaseRecord& record;
  Review& review;

  template <class Item>
  Result<Edit> operator()(const Put<Item>& put) const {
    auto& items = ItemsOf(record, review, put.item.id);
    const auto old = FindById(items, put.item.id);
    if (old == items.end()) {
      Insert(items, put.item);
      return Edit(Remove<decltype(put.item.id)>{put.item.id});
    }
    Edit inverse = Put<Item>{std::move(*old)};
    items.erase(old);
    Insert(items, put.item);
    return inverse;
  }

  template <class ItemId>
  Result<Edit> operator()(const Remove<ItemId>& remove) const {
    auto& items = ItemsOf(record, review, remove.id);
    const auto old = FindById(items, remove.id);
    if (old == items.end()) return Unknown(WordFor(remove.id), TextOf(remove.id));
    using Item = std::remove_reference_t<decltype(*old)>;
    Edit inverse = Put<Item>{std::move(*old)};
    items.erase(old);
    return inverse;
  }

  Result<Edit> operator()(const SetTrailPoints& set) const {
    const auto trail = FindById(review.trails, set.trail);
    if (trail == review.trails.end()) return Unknown("trail", set.trail.value);
    SetTrailPoints inverse{set.trail, {}, {}};
    for (const TrailPoint& point : set.points) {
      const auto place = PointAt(*trail, point.at);
      if (place != trail->points.end() && place->at == point.at) {
        inverse.points.push_back(std::exchange(*place, point));
      } else {
        trail->points.insert(place, point);
        inverse.removed.push_back(point.at);
      }
    }
    for (const FrameRef at : set.removed) {
      const auto place = PointAt(*trail, at);
      if (place == trail->points.end() || place->at != at) continue;
      inverse.points.push_back(*place);
      trail->points.erase(place);
    }
    return Edit(Reversed(std::move(inverse)));
  }

  Result<Edit> operator()(const SetCheck& set) const {
    const auto old = review.checks.find(set.key);
    const CheckState before = old == review.checks.end() ? CheckState::kNotReviewed : old->second;
    if (set.state == CheckState::kNotReviewed)
      review.checks.erase(set.key);
    else
      review.checks[set.key] = set.state;
    return Edit(SetCheck{set.key, before});
  }

  Result<Edit> operator()(const SetAssessment& set) const {
    return Edit(SetAssessment{std::exchange(review.assessment, set.assessment)});
  }
  Result<Edit> operator()(const SetCaseField& set) const {
    AFTERSCOPE_ASSIGN(std::string before, CaseFieldText(record, set.field));
    AFTERSCOPE_TRY(SetCaseFieldText(record, set.field, set.text));
    return Edit(SetCaseField{set.field, std::move(before)});
  }
  Result<Edit> operator()(const SetReviewField& set) const {
    AFTERSCOPE_ASSIGN(std::string before, ReviewFieldText(review, set.field));
    AFTERSCOPE_TRY(SetReviewFieldText(review, set.field, set.text));
    return Edit(SetReviewField{set.field, std::move(before)});
  }
  Result<Edit> operator()(const SetRecordings& set) const {
    if (set.recordings.size() < record.recordings.size())
      AFTERSCOPE_TRY(CheckRecordingsNeeded(review, set.recordings.size()));
    return Edit(SetRecordings{std::exchange(record.recordings, set.recordings)});
  }
  Result<Edit> operator()(const SetSignature& set) const {
    SetSignature inverse{review.is_signed ? std::optional(review.signature) : std::nullopt};
    review.is_signed = set.signature.has_value();
    review.signature = set.signature.value_or(Signature{});
    return Edit(std::move(inverse));
  }

 private:
  // A frame that was set twice, or set and then removed: its oldest state is the one to come back to, and a
  // frame that had no point at first must end without one.
  static SetTrailPoints Reversed(SetTrailPoints inverse) {
    std::reverse(inverse.points.begin(), inverse.points.end());
    const std::unordered_set<FrameRef> without(inverse.removed.begin(), inverse.removed.end());
    std::erase_if(inverse.points, [&](const TrailPoint& point) { return without.contains(point.at); });
    return inverse;
  }
};

void TakeBack(std::vector<Edit>& inverses, CaseRecord& record, Review& review) {
  for (auto inverse = inverses.rbegin(); inverse != inverses.rend(); ++inverse)
    static_cast<void>(std::visit(Applier{record, review}, *inverse));
}

Result<EditGroup> ApplyAll(const EditGroup& group, CaseRecord& record, Review& review, bool ask_places) {
  std::vector<Edit> inverses;
  Status done;
  for (const Edit& edit : group.edits) {
    done = CheckEdit(edit);
    if (done.ok() && ask_places) done = CheckAgainstRecordings(edit, record);
    if (!done.ok()) break;
    Result<Edit> inverse = std::visit(Applier{record, review}, edit);
    if (!inverse.ok()) {
      done = inverse.error();
      break;
    }
    inverses.push_back(std::move(*inverse));
  }
  if (done.ok()) done = CheckReview(review);
  if (!done.ok()) {
    TakeBack(inverses, record, review);
    return done.error();
  }
  std::reverse(inverses.begin(), inverses.end());
  return EditGroup{group.label, std::move(inverses)};
}

}  // namespace

bool IsCaseEdit(const Edit& edit) {
  return std::holds_alternative<SetCaseField>(edit) || std::holds_alternative<SetRecordings>(edit) ||
         std::holds_alternative<Put<SignedReview>>(edit) || std::holds_alternative<Remove<ReviewId>>(edit);
}

Result<EditGroup> ApplyEdits(const EditGroup& group, CaseRecord& record, Review& review) {
  return ApplyAll(group, record, review, true);
}

Result<EditGroup> ReapplyEdits(const EditGroup& group, CaseRecord& record, Review& review) {
  return ApplyAll(group, record, review, false);
}

}  // namespace afterscope
