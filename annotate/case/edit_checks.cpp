// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit_checks.hpp"

#include "annotate/case/cover.hpp"
#include "annotate/case/incision.hpp"
#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace afterscope {
namespace {

constexpr std::size_t kMostText = 65536;
constexpr std::size_t kMostKey = 200;
constexpr std::size_t kMostFields = 200;
constexpr std::size_t kMostAnswers = 200;
constexpr std::size_t kMostEvidence = 1000;
constexpr std::size_t kMostMarkPoints = 10000;
constexpr std::size_t kMostTrailPoints = 200'000;
constexpr std::size_t kMostRecordings = 1000;
constexpr int kMostLanes = 2;
constexpr double kPictures = 100;     // how far from the picture a point may lie, in pictures
constexpr double kMostPixels = 1e7;   // from the corner, of whatever picture: beyond, sizes can't be computed
constexpr double kAnyPicture = 8192;  // where the size of the picture is not known
constexpr double kUnverifiedSeconds = 5;
constexpr double kMostSeconds = 30 * 86400.0;  // of one recording: what goes through its time must end

Status CheckId(const std::string& id, const char* what) {
  if (IsValidIdText(id)) return {};
  return BadCall(
      fmt::format("Can't name a {} so: an id is 1 to 64 of the characters a-z, 0-9, '-' and '_'.", what));
}

Status CheckText(const std::string& text, std::size_t most, const std::string& what) {
  if (text.size() > most) return BadCall(fmt::format("The {} is longer than {} bytes.", what, most));
  if (!IsCleanText(text)) return BadCall(fmt::format("The {} is not a clean UTF-8 text.", what));
  return {};
}

Status CheckKey(const std::string& text, const std::string& what) {
  if (text.empty()) return BadCall(fmt::format("The {} is empty.", what));
  return CheckText(text, kMostKey, what);
}

Status CheckFields(const std::map<std::string, std::string>& fields, const std::string& of) {
  if (fields.size() > kMostFields)
    return BadCall(fmt::format("The {} has more than {} fields.", of, kMostFields));
  for (const auto& [key, text] : fields) {
    AFTERSCOPE_TRY(CheckKey(key, "name of a field of the " + of));
    AFTERSCOPE_TRY(CheckText(text, kMostText, fmt::format("field '{}' of the {}", key, of)));
  }
  return {};
}

Status CheckDate(const std::string& date, const std::string& of) {
  if (date.empty() || IsDate(date)) return {};
  return BadCall(fmt::format("Can't read the date '{}' of the {}: give YYYY-MM-DD.", date, of));
}

Status CheckPoint(PointPx point, const std::string& of) {
  if (std::abs(point.x) <= kMostPixels && std::abs(point.y) <= kMostPixels) return {};
  return BadCall(
      fmt::format("A point of the {} is not a number, or lies farther away than any picture.", of));
}

Status CheckFrame(FrameRef at, const std::string& of) {
  if (at.recording >= 0) return {};
  return BadCall(fmt::format("The {} names recording {}; recordings count from 0.", of, at.recording));
}

Status CheckRange(const HalfOpen<FrameRef>& range, const std::string& of) {
  AFTERSCOPE_TRY(CheckFrame(range.start, of));
  AFTERSCOPE_TRY(CheckFrame(range.end, of));
  if (range.empty()) return BadCall(fmt::format("The {} would end before it starts.", of));
  return {};
}

struct PointCount {
  std::size_t least;
  std::size_t most;
};

PointCount PointsOf(const Mark& mark) {
  switch (mark.kind) {
    case MarkKind::kLimbus:
    case MarkKind::kPupil:
    case MarkKind::kRhexis:
    case MarkKind::kLensEdge:
      return {1, kMostMarkPoints};
    case MarkKind::kIncision:
      return {2, IsTunnel(mark) ? kMostMarkPoints : 2};
    case MarkKind::kRuler:
    case MarkKind::kObject:
    case MarkKind::kArrow:
    case MarkKind::kCover:
      return {2, 2};
    case MarkKind::kGrasp:
    case MarkKind::kLabel:
      return {1, 1};
  }
  return {1, kMostMarkPoints};
}

Status CheckMillimetres(std::optional<double> value, const std::string& what) {
  if (!value || (*value > 0 && *value < 1000)) return {};
  return BadCall(fmt::format("The {} of a scale must lie between 0 and 1000 mm.", what));
}

Status CheckTrailPoint(const TrailPoint& point, const std::string& of) {
  AFTERSCOPE_TRY(CheckFrame(point.at, of));
  AFTERSCOPE_TRY(CheckPoint(point.tip, of));
  if (!(point.confidence >= 0 && point.confidence <= 1))
    return BadCall(fmt::format("A confidence of the {} does not lie between 0 and 1.", of));
  if (!point.shaft) return {};
  AFTERSCOPE_TRY(CheckPoint(*point.shaft, of));
  if (*point.shaft == point.tip)
    return BadCall(fmt::format("The place on the shaft is the tip itself, in the {}: give another.", of));
  return {};
}

bool IsSaneShape(const RecordingShape& shape) {
  const auto within = [](Rational value, double least, double most) {
    return value.valid() && value.value() >= least && value.value() <= most;
  };
  const auto ticks = static_cast<double>(shape.end.ticks) - static_cast<double>(shape.first.ticks);
  return within(shape.time_base, 1e-9, 10) && within(shape.pixel_aspect, 0.01, 100) &&
         shape.first <= shape.end && shape.frame.ticks >= 0 &&
         shape.frame.Seconds(shape.time_base) <= kMostSeconds &&
         ticks * shape.time_base.value() <= kMostSeconds && shape.width >= 0 && shape.width <= 65536 &&
         shape.height >= 0 && shape.height <= 65536;
}

struct Checker {
  Status operator()(const Put<StepVisit>& put) const {
    const StepVisit& visit = put.item;
    AFTERSCOPE_TRY(CheckId(visit.id.value, "visit"));
    AFTERSCOPE_TRY(CheckKey(visit.step, "step of a visit"));
    AFTERSCOPE_TRY(CheckText(visit.operator_code, kMostKey, "operator of a visit"));
    if (visit.lane < 0 || visit.lane >= kMostLanes)
      return BadCall(fmt::format("A step lies in lane 0 or 1, not {}.", visit.lane));
    AFTERSCOPE_TRY(CheckFrame(visit.start, "step '" + visit.step + "'"));
    if (!visit.end) return {};
    return CheckRange({visit.start, *visit.end}, "step '" + visit.step + "'");
  }
  Status operator()(const Put<Moment>& put) const {
    AFTERSCOPE_TRY(CheckId(put.item.id.value, "moment"));
    AFTERSCOPE_TRY(CheckFrame(put.item.at, "moment"));
    AFTERSCOPE_TRY(CheckText(put.item.key, kMostKey, "key of a moment"));
    AFTERSCOPE_TRY(CheckText(put.item.text, kMostText, "text of a moment"));
    return CheckFields(put.item.fields, "moment");
  }
  Status operator()(const Put<Mark>& put) const {
    const Mark& mark = put.item;
    AFTERSCOPE_TRY(CheckId(mark.id.value, "mark"));
    AFTERSCOPE_TRY(CheckFrame(mark.at, "mark"));
    AFTERSCOPE_TRY(CheckText(mark.text, kMostText, "text of a mark"));
    const PointCount count = PointsOf(mark);
    if (mark.points.size() < count.least || mark.points.size() > count.most)
      return BadCall(fmt::format("Mark '{}' has {} points; such a mark has {} to {}.", mark.id.value,
                                 mark.points.size(), count.least, count.most));
    for (const PointPx point : mark.points) AFTERSCOPE_TRY(CheckPoint(point, "mark '" + mark.id.value + "'"));
    if (mark.kind == MarkKind::kCover) AFTERSCOPE_TRY(CheckCover(mark));
    return CheckFields(mark.fields, "mark");
  }
  Status operator()(const Put<Trail>& put) const {
    const Trail& trail = put.item;
    AFTERSCOPE_TRY(CheckId(trail.id.value, "trail"));
    AFTERSCOPE_TRY(CheckText(trail.instrument, kMostKey, "instrument of a trail"));
    AFTERSCOPE_TRY(CheckText(trail.hand, kMostKey, "hand of a trail"));
    if (trail.points.size() > kMostTrailPoints) return BadCall("A trail has more than 200 000 points.");
    const std::string name = "trail '" + trail.id.value + "'";
    for (const TrailPoint& point : trail.points) AFTERSCOPE_TRY(CheckTrailPoint(point, name));
    const auto not_after = [](const TrailPoint& a, const TrailPoint& b) { return !(a.at < b.at); };
    if (std::adjacent_find(trail.points.begin(), trail.points.end(), not_after) != trail.points.end())
      return BadCall(fmt::format("The points of {} are not in order of time, one a frame.", name));
    for (const TrailGap& gap : trail.gaps) AFTERSCOPE_TRY(CheckRange(gap.range, "gap of " + name));
    return {};
  }
  Status operator()(const SetTrailPoints& set) const {
    AFTERSCOPE_TRY(CheckId(set.trail.value, "trail"));
    if (set.points.size() > kMostTrailPoints) return BadCall("A trail has more than 200 000 points.");
    for (const TrailPoint& point : set.points)
      AFTERSCOPE_TRY(CheckTrailPoint(point, "trail '" + set.trail.value + "'"));
    return {};
  }
  Status operator()(const Put<ScaleDef>& put) const {
    AFTERSCOPE_TRY(CheckId(put.item.id.value, "scale"));
    AFTERSCOPE_TRY(CheckId(put.item.mark.value, "mark of a scale"));
    AFTERSCOPE_TRY(CheckMillimetres(put.item.known_mm, "known size"));
    AFTERSCOPE_TRY(CheckMillimetres(put.item.known_sd_mm, "standard deviation"));
    if (put.item.source != ScaleSource::kLimbus && !put.item.known_mm)
      return BadCall(fmt::format("Scale '{}' needs the known size of its object in mm.", put.item.id.value));
    return put.item.range ? CheckRange(*put.item.range, "stretch of a scale") : Status();
  }
  Status operator()(const Put<Caption>& put) const {
    AFTERSCOPE_TRY(CheckId(put.item.id.value, "caption"));
    AFTERSCOPE_TRY(CheckText(put.item.text, kMostText, "text of a caption"));
    AFTERSCOPE_TRY(CheckFrame(put.item.start, "caption"));
    return put.item.end ? CheckRange({put.item.start, *put.item.end}, "caption") : Status();
  }
  Status operator()(const Put<Draft>& put) const {
    const Draft& draft = put.item;
    AFTERSCOPE_TRY(CheckId(draft.id.value, "draft"));
    AFTERSCOPE_TRY(CheckText(draft.key, kMostKey, "key of a draft"));
    AFTERSCOPE_TRY(CheckText(draft.words, kMostText, "words of a draft"));
    AFTERSCOPE_TRY(CheckFields(draft.fields, "draft"));
    if (!(draft.confidence >= 0 && draft.confidence <= 1))
      return BadCall("The confidence of a draft does not lie between 0 and 1.");
    AFTERSCOPE_TRY(CheckFrame(draft.start, "draft"));
    return draft.end ? CheckRange({draft.start, *draft.end}, "draft") : Status();
  }
  Status operator()(const Put<Score>& put) const {
    const Score& score = put.item;
    AFTERSCOPE_TRY(CheckId(score.id.sheet, "score sheet"));
    AFTERSCOPE_TRY(CheckId(score.id.item, "item of a score sheet"));
    if (score.value && !std::isfinite(*score.value)) return BadCall("A score is not a number.");
    AFTERSCOPE_TRY(CheckText(score.remark, kMostText, "remark on a score"));
    if (score.moments.size() > kMostEvidence)
      return BadCall(fmt::format("A score names more than {} moments.", kMostEvidence));
    for (const MomentId& moment : score.moments) AFTERSCOPE_TRY(CheckId(moment.value, "moment"));
    return {};
  }
  Status operator()(const SetCheck& set) const { return CheckKey(set.key, "key of a check"); }
  Status operator()(const SetAssessment& set) const {
    const Assessment& words = set.assessment;
    if (words.strengths.size() > 20) return BadCall("More than 20 strengths were given.");
    for (const std::string& strength : words.strengths)
      AFTERSCOPE_TRY(CheckText(strength, kMostText, "strength"));
    AFTERSCOPE_TRY(CheckText(words.own_view, kMostText, "trainee's own view"));
    AFTERSCOPE_TRY(CheckText(words.change, kMostText, "change"));
    AFTERSCOPE_TRY(CheckText(words.drill, kMostText, "drill"));
    return CheckDate(words.drill_date, "drill");
  }
  Status operator()(const SetCaseField& set) const { return CheckFieldText(set.field, set.text); }
  Status operator()(const SetReviewField& set) const { return CheckFieldText(set.field, set.text); }
  Status operator()(const SetRecordings& set) const {
    if (set.recordings.size() > kMostRecordings) return BadCall("A case has at most 1000 recordings.");
    for (const RecordingRef& recording : set.recordings) {
      AFTERSCOPE_TRY(CheckText(recording.path, 4096, "path of a recording"));
      if (!IsSaneShape(recording.shape))
        return BadCall(fmt::format("Recording '{}' has no sensible time base, length, size or pixel aspect.",
                                   recording.path));
    }
    return {};
  }
  Status operator()(const SetSignature& set) const {
    if (!set.signature) return {};
    AFTERSCOPE_TRY(CheckKey(set.signature->by, "code of who signs"));
    return CheckText(set.signature->at, kMostKey, "time of a signature");
  }
  Status operator()(const Put<SignedReview>& put) const {
    AFTERSCOPE_TRY(CheckId(put.item.id.value, "review"));
    AFTERSCOPE_TRY(CheckKey(put.item.seal, "seal of a review"));
    if (put.item.answers.size() > kMostAnswers)
      return BadCall(fmt::format("A review has at most {} answers.", kMostAnswers));
    for (const ReviewAnswer& answer : put.item.answers) {
      AFTERSCOPE_TRY(CheckText(answer.by, kMostKey, "code of who answers"));
      AFTERSCOPE_TRY(CheckText(answer.text, kMostText, "answer"));
      AFTERSCOPE_TRY(CheckDate(answer.date, "answer"));
    }
    return {};
  }
  template <class ItemId>
  Status operator()(const Remove<ItemId>&) const {
    return {};  // an unknown id is found when it is applied
  }

 private:
  static Status CheckFieldText(const std::string& field, const std::string& text) {
    AFTERSCOPE_TRY(CheckKey(field, "name of a field"));
    return CheckText(text, kMostText, "field '" + field + "'");
  }
};

// Whether `at` is a frame (or, as a boundary, the end) of one of the recordings.
Status CheckPlace(const CaseRecord& record, FrameRef at, bool boundary, const std::string& of) {
  if (at.recording < 0 || at.recording >= static_cast<int>(record.recordings.size()))
    return BadCall(fmt::format("The {} lies in recording {}, but the case has {}.", of, at.recording,
                               record.recordings.size()));
  const RecordingShape& shape = record.recordings[static_cast<std::size_t>(at.recording)].shape;
  if (shape.end <= shape.first) return {};  // not known yet how long it is
  const double slack = shape.verified ? 0 : kUnverifiedSeconds;
  const double before = (shape.first - at.pts).Seconds(shape.time_base);
  const double after = (at.pts - shape.end).Seconds(shape.time_base);
  const bool inside = shape.verified && !boundary ? at.pts < shape.end : after <= slack;
  if (before <= slack && inside) return {};
  return BadCall(fmt::format("The {} lies at tick {} of recording {}, which goes from {} to {}.", of,
                             at.pts.ticks, at.recording, shape.first.ticks, shape.end.ticks));
}

Status CheckNear(const CaseRecord& record, int recording, PointPx point, const std::string& of) {
  const RecordingShape& shape = record.recordings[static_cast<std::size_t>(recording)].shape;
  const double width = shape.width > 0 ? shape.width : kAnyPicture;
  const double height = shape.height > 0 ? shape.height : kAnyPicture;
  if (std::abs(point.x) <= kPictures * width && std::abs(point.y) <= kPictures * height) return {};
  return BadCall(fmt::format("A point of the {} lies more than {} pictures away.", of, kPictures));
}

struct PlaceChecker {
  const CaseRecord& record;

  Status Range(const HalfOpen<FrameRef>& range, const std::string& of) const {
    AFTERSCOPE_TRY(CheckPlace(record, range.start, true, "start of the " + of));
    return CheckPlace(record, range.end, true, "end of the " + of);
  }
  Status Points(const std::vector<TrailPoint>& points, const std::string& of) const {
    for (const TrailPoint& point : points) {
      AFTERSCOPE_TRY(CheckPlace(record, point.at, false, "point of the " + of));
      AFTERSCOPE_TRY(CheckNear(record, point.at.recording, point.tip, of));
      if (point.shaft) AFTERSCOPE_TRY(CheckNear(record, point.at.recording, *point.shaft, of));
    }
    return {};
  }

  Status operator()(const Put<StepVisit>& put) const {
    const std::string name = "step '" + put.item.step + "'";
    AFTERSCOPE_TRY(CheckPlace(record, put.item.start, true, "start of the " + name));
    return put.item.end ? CheckPlace(record, *put.item.end, true, "end of the " + name) : Status();
  }
  Status operator()(const Put<Moment>& put) const { return CheckPlace(record, put.item.at, true, "moment"); }
  Status operator()(const Put<Caption>& put) const {
    return CheckPlace(record, put.item.start, true, "caption");
  }
  Status operator()(const Put<Draft>& put) const { return CheckPlace(record, put.item.start, true, "draft"); }
  Status operator()(const Put<Mark>& put) const {
    const std::string name = "mark '" + put.item.id.value + "'";
    AFTERSCOPE_TRY(CheckPlace(record, put.item.at, false, name));
    for (const PointPx point : put.item.points)
      AFTERSCOPE_TRY(CheckNear(record, put.item.at.recording, point, name));
    const auto range = put.item.kind == MarkKind::kCover ? RangeOfCover(put.item) : std::nullopt;
    return range ? CheckPlace(record, range->end, true, "end of " + name) : Status();
  }
  Status operator()(const Put<Trail>& put) const {
    AFTERSCOPE_TRY(Points(put.item.points, "trail '" + put.item.id.value + "'"));
    for (const TrailGap& gap : put.item.gaps) AFTERSCOPE_TRY(Range(gap.range, "gap of a trail"));
    return {};
  }
  Status operator()(const SetTrailPoints& set) const {
    return Points(set.points, "trail '" + set.trail.value + "'");
  }
  Status operator()(const Put<ScaleDef>& put) const {
    return put.item.range ? Range(*put.item.range, "stretch of a scale") : Status();
  }
  template <class Other>
  Status operator()(const Other&) const {
    return {};
  }
};

// The recordings that a review speaks of: the highest number, and what names it.
struct LastRecording {
  int number = -1;
  std::string of;

  void See(FrameRef at, const std::string& what) {
    if (at.recording <= number) return;
    number = at.recording;
    of = what;
  }
  void See(const HalfOpen<FrameRef>& range, const std::string& what) {
    See(range.start, what);
    See(range.end, what);
  }
};

LastRecording LastRecordingOf(const Review& review) {
  LastRecording last;
  for (const StepVisit& visit : review.visits) {
    last.See(visit.start, "step '" + visit.step + "'");
    if (visit.end) last.See(*visit.end, "step '" + visit.step + "'");
  }
  for (const Moment& moment : review.moments) last.See(moment.at, "moment '" + moment.id.value + "'");
  for (const Mark& mark : review.marks) {
    last.See(mark.at, "mark '" + mark.id.value + "'");
    const auto range = mark.kind == MarkKind::kCover ? RangeOfCover(mark) : std::nullopt;
    if (range) last.See(*range, "mark '" + mark.id.value + "'");
  }
  for (const Trail& trail : review.trails) {
    const std::string name = "trail '" + trail.id.value + "'";
    for (const TrailPoint& point : trail.points) last.See(point.at, name);
    for (const TrailGap& gap : trail.gaps) last.See(gap.range, name);
  }
  for (const Caption& caption : review.captions) {
    last.See(caption.start, "caption '" + caption.id.value + "'");
    if (caption.end) last.See(*caption.end, "caption '" + caption.id.value + "'");
  }
  for (const Draft& draft : review.drafts) {
    last.See(draft.start, "draft '" + draft.id.value + "'");
    if (draft.end) last.See(*draft.end, "draft '" + draft.id.value + "'");
  }
  for (const ScaleDef& scale : review.scales)
    if (scale.range) last.See(*scale.range, "scale '" + scale.id.value + "'");
  return last;
}

}  // namespace

Status CheckEdit(const Edit& edit) { return std::visit(Checker{}, edit); }

Status CheckAgainstRecordings(const Edit& edit, const CaseRecord& record) {
  return std::visit(PlaceChecker{record}, edit);
}

Status CheckRecordingsNeeded(const Review& review, std::size_t recordings) {
  const LastRecording last = LastRecordingOf(review);
  if (last.number < static_cast<int>(recordings)) return {};
  return BadCall(
      fmt::format("Can't leave the case with {} recordings: the {} of review '{}' lies in recording {}; "
                  "remove it first.",
                  recordings, last.of, review.id.value, last.number));
}

Status CheckReview(const Review& review) {
  for (std::size_t i = 1; i < review.visits.size(); ++i) {
    const StepVisit& before = review.visits[i - 1];
    const StepVisit& after = review.visits[i];
    if (before.lane != after.lane) continue;
    const FrameRef end = before.end.value_or(after.start);
    if (before.start < after.start && end <= after.start) continue;
    return BadCall(fmt::format("Step '{}' ({}) and step '{}' ({}) would overlap.", before.step,
                               before.id.value, after.step, after.id.value));
  }
  for (const ScaleDef& scale : review.scales) {
    const auto is_its_mark = [&](const Mark& mark) { return mark.id == scale.mark; };
    if (std::none_of(review.marks.begin(), review.marks.end(), is_its_mark))
      return BadCall(fmt::format("Scale '{}' needs the mark '{}', which is not there.", scale.id.value,
                                 scale.mark.value));
  }
  return {};
}

}  // namespace afterscope
