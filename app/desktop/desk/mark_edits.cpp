// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/mark_edits.hpp"

#include "annotate/case/cover.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/case/text.hpp"
#include "annotate/case/words.hpp"
#include "metrics/scale/needle_gauge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace afterscope {
namespace {

constexpr double kLeastShaftPx = 5;  // from the tip, to tell a direction
constexpr double kBeside = 0.35;     // of a line's length: how far beside it a point still belongs to it

const Mark* FindMark(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& m) { return m.id == id; });
  return found == review.marks.end() ? nullptr : &*found;
}

Error NoSuchMark(const MarkId& id) {
  return {ErrorCode::kBadCall,
          fmt::format("There is no mark '{}' any more; it was removed meanwhile.", id.value)};
}

// How far beside the line from a to b the point lies, if it lies beside it at all.
std::optional<double> DistanceBeside(PointPx a, PointPx b, PointPx point) {
  const OffsetPx along = b - a;
  const double length = along.Length();
  if (length <= 0) return std::nullopt;
  const double share = Dot(point - a, along) / (length * length);
  if (share <= 0.05 || share >= 0.95) return std::nullopt;
  const double distance = std::abs(Cross(along, point - a)) / length;
  return distance <= kBeside * length ? std::optional(distance) : std::nullopt;
}

const Trail* NearestTrail(const Review& review, FrameRef at, std::int64_t reach_ticks) {
  const Trail* nearest = nullptr;
  std::int64_t best = reach_ticks;
  for (const Trail& trail : review.trails)
    for (const TrailPoint& point : trail.points) {
      if (point.at.recording != at.recording) continue;
      const std::int64_t distance = std::llabs((point.at.pts - at.pts).ticks);
      if (distance > best) continue;
      best = distance;
      nearest = &trail;
    }
  return nearest;
}

}  // namespace

std::size_t PlaceOnOutline(const std::vector<PointPx>& outline, PointPx point) {
  std::size_t place = outline.size();
  std::optional<double> nearest;
  for (std::size_t i = 0; i + 1 < outline.size() && outline.size() >= 3; ++i) {
    const auto distance = DistanceBeside(outline[i], outline[i + 1], point);
    if (!distance || (nearest && *nearest <= *distance)) continue;
    nearest = distance;
    place = i + 1;
  }
  return place;
}

Result<EditGroup> AddOutlinePoint(const Review& review, MarkKind kind, FrameRef at, PointPx point,
                                  const MarkIdSource& new_id) {
  const auto found = std::find_if(review.marks.begin(), review.marks.end(),
                                  [&](const Mark& m) { return m.kind == kind && m.at == at; });
  Mark mark;
  if (found != review.marks.end()) {
    mark = *found;
  } else {
    mark.id = new_id();
    mark.at = at;
    mark.kind = kind;
    if (kind == MarkKind::kRhexis) mark.fields["stage"] = "completion";
  }
  mark.points.insert(mark.points.begin() + static_cast<std::ptrdiff_t>(PlaceOnOutline(mark.points, point)),
                     point);
  return EditGroup{"Mark point", {Put<Mark>{mark}}};
}

std::vector<PointPx> GripsOf(const Mark& mark) {
  if (IsTunnel(mark)) return GripsOfTunnel(mark);
  return mark.kind == MarkKind::kCover ? GripsOfCover(mark) : mark.points;
}

void MoveGrip(Mark& mark, std::size_t grip, PointPx to) {
  if (mark.kind == MarkKind::kCover)
    MoveGripOfCover(mark, grip, to);
  else if (IsTunnel(mark))
    MoveGripOfTunnel(mark, grip, to);
  else if (grip < mark.points.size())
    mark.points[grip] = to;
}

Result<EditGroup> MoveMarkPoint(const Review& review, const MarkId& id, std::size_t index, PointPx to) {
  const Mark* found = FindMark(review, id);
  if (found == nullptr || index >= GripsOf(*found).size()) return NoSuchMark(id);
  Mark mark = *found;
  MoveGrip(mark, index, to);
  return EditGroup{"Move point", {Put<Mark>{mark}}};
}

Result<EditGroup> RemoveMarkPoint(const Review& review, const MarkId& id, std::size_t index) {
  const Mark* found = FindMark(review, id);
  if (found == nullptr || index >= GripsOf(*found).size()) return NoSuchMark(id);
  if (IsTunnel(*found) && index >= found->points.size())
    return Error{ErrorCode::kBadCall, "No point was set there yet, so there is none to remove."};
  const bool bent = IsTunnel(*found) && found->points.size() > 2;
  const bool fixed_count = found->kind == MarkKind::kRuler || found->kind == MarkKind::kIncision ||
                           found->kind == MarkKind::kObject || found->kind == MarkKind::kArrow ||
                           found->kind == MarkKind::kCover;
  if ((fixed_count && !bent) || found->points.size() == 1) return RemoveMark(review, id);
  Mark mark = *found;
  mark.points.erase(mark.points.begin() + static_cast<std::ptrdiff_t>(index));
  return EditGroup{"Remove point", {Put<Mark>{mark}}};
}

Result<EditGroup> AddTwoPointMark(const Review&, MarkKind kind, FrameRef at, PointPx from, PointPx to,
                                  const MarkIdSource& new_id) {
  if (from == to)
    return Error{ErrorCode::kBadCall, "The two points are the same; click the second one somewhere else."};
  Mark mark;
  mark.id = new_id();
  mark.at = at;
  mark.kind = kind;
  mark.points = {from, to};
  return EditGroup{"Mark " + std::string(WordOf(kind)), {Put<Mark>{mark}}};
}

Result<EditGroup> AddLabel(FrameRef at, PointPx point, const std::string& words, const MarkIdSource& new_id) {
  Mark mark;
  mark.id = new_id();
  mark.at = at;
  mark.kind = MarkKind::kLabel;
  mark.points = {point};
  mark.text = words;
  return EditGroup{"Mark label", {Put<Mark>{mark}}};
}

Result<EditGroup> AddGrasp(FrameRef at, PointPx point, const MarkIdSource& new_id) {
  Mark mark;
  mark.id = new_id();
  mark.at = at;
  mark.kind = MarkKind::kGrasp;
  mark.points = {point};
  return EditGroup{"Mark grasp", {Put<Mark>{mark}}};
}

Result<EditGroup> NameIncision(Mark incision, IncisionKind kind) {
  SetKind(incision, kind);
  return EditGroup{"Name incision", {Put<Mark>{std::move(incision)}}};
}

Result<EditGroup> NameOpening(Mark rhexis, const std::string& opening) {
  rhexis.fields["opening"] = opening;
  return EditGroup{"How the capsule was opened", {Put<Mark>{std::move(rhexis)}}};
}

Result<EditGroup> OtherRhexisStage(Mark rhexis) {
  std::string& stage = rhexis.fields["stage"];
  stage = stage == "over optic" ? "completion" : "over optic";
  return EditGroup{"Rhexis stage", {Put<Mark>{std::move(rhexis)}}};
}

Result<EditGroup> CopyMarks(const Review& review, const std::vector<Mark>& marks, FrameRef to,
                            const MarkIdSource& new_id) {
  EditGroup group{"Copy marks", {}};
  for (Mark mark : marks) {
    const bool outline = mark.kind == MarkKind::kLimbus || mark.kind == MarkKind::kPupil ||
                         mark.kind == MarkKind::kRhexis || mark.kind == MarkKind::kLensEdge;
    const bool there = std::any_of(review.marks.begin(), review.marks.end(), [&](const Mark& other) {
      return other.at == to && other.kind == mark.kind;
    });
    if (outline && there)
      return Error{ErrorCode::kBadCall,
                   fmt::format("The {} can't be copied here: this frame has one already; remove that first.",
                               WordOf(mark.kind))};
    mark.id = new_id();
    mark.at = to;
    if (mark.kind == MarkKind::kCover) SetRange(mark, std::nullopt);
    group.edits.emplace_back(Put<Mark>{std::move(mark)});
  }
  return group;
}

Result<EditGroup> SetTip(const Review& review, FrameRef at, PointPx tip, std::optional<PointPx> shaft,
                         std::int64_t reach_ticks, const TrailIdSource& new_id) {
  const TrailPoint point{at, tip, TrailSource::kHand, 1, shaft};
  if (const Trail* trail = NearestTrail(review, at, reach_ticks))
    return EditGroup{"Mark tip", {SetTrailPoints{trail->id, {point}, {}}}};
  Trail fresh;
  fresh.id = new_id();
  fresh.hand = "main";
  fresh.points = {point};
  return EditGroup{"Mark tip", {Put<Trail>{fresh}}};
}

Result<EditGroup> SetShaft(const Review& review, FrameRef at, PointPx through) {
  const Trail* nearest = nullptr;
  TrailPoint point;
  for (const Trail& trail : review.trails)
    for (const TrailPoint& there : trail.points) {
      if (there.at != at || there.source == TrailSource::kFollowed) continue;
      if (nearest && Distance(point.tip, through) <= Distance(there.tip, through)) continue;
      nearest = &trail, point = there;
    }
  if (!nearest)
    return Error{ErrorCode::kBadCall,
                 "No tip is set on this frame: set it first, then say which way its shaft lies."};
  if (Distance(point.tip, through) < kLeastShaftPx)
    return Error{ErrorCode::kBadCall, "That is the tip itself: point to the shaft farther away from it."};
  point.shaft = through;
  return EditGroup{"Set shaft", {SetTrailPoints{nearest->id, {point}, {}}}};
}

Result<EditGroup> MoveTipPoint(const Review& review, const TrailId& id, FrameRef at, TipPart part,
                               PointPx to) {
  TrailPoint point{at, to, TrailSource::kCorrected, 1};
  for (const Trail& trail : review.trails)
    for (const TrailPoint& there : trail.points) {
      if (trail.id != id || there.at != at) continue;
      if (part == TipPart::kShaft) point.tip = there.tip, point.source = there.source;
      point.shaft = part == TipPart::kShaft ? to : there.shaft;
    }
  return EditGroup{part == TipPart::kShaft ? "Move shaft" : "Move tip", {SetTrailPoints{id, {point}, {}}}};
}

Result<EditGroup> RemoveShaft(const Review& review, const TrailId& id, FrameRef at) {
  for (const Trail& trail : review.trails)
    for (TrailPoint point : trail.points) {
      if (trail.id != id || point.at != at) continue;
      point.shaft.reset();
      return EditGroup{"Remove shaft", {SetTrailPoints{id, {point}, {}}}};
    }
  return Error{ErrorCode::kBadCall, "There is no tip on this frame any more; it was removed meanwhile."};
}

Result<EditGroup> RemoveTip(const Review& review, const TrailId& id, FrameRef at) {
  const auto found =
      std::find_if(review.trails.begin(), review.trails.end(), [&](const Trail& t) { return t.id == id; });
  if (found == review.trails.end())
    return Error{ErrorCode::kBadCall,
                 fmt::format("There is no trail '{}' any more; it was removed meanwhile.", id.value)};
  if (found->points.size() == 1) return EditGroup{"Remove trail", {Remove<TrailId>{id}}};
  return EditGroup{"Remove tip", {SetTrailPoints{id, {}, {at}}}};
}

Result<std::optional<KnownLength>> ReadKnownLength(const std::string& words) {
  std::string text = words;
  text.erase(std::remove(text.begin(), text.end(), ' '), text.end());
  const bool is_gauge = !text.empty() && (text.back() == 'G' || text.back() == 'g');
  if (is_gauge) text.pop_back();
  const auto number = NumberFrom(text);
  if (text.empty() && !is_gauge) return std::optional<KnownLength>();
  if (is_gauge && number) {
    const bool whole = *number == std::round(*number) && std::abs(*number) < 100;
    const auto needle = whole ? NeedleDiameter(static_cast<int>(*number)) : std::nullopt;
    if (needle) return needle;
    return Error{ErrorCode::kBadCall,
                 fmt::format("The diameter of a needle of {} is not known here: 18 G to 33 G are.", words)};
  }
  if (!number || !(*number >= 0))
    return Error{
        ErrorCode::kBadCall,
        fmt::format("'{}' is no length: give millimetres (2.8), or the gauge of a needle (25 G).", words)};
  return *number > 0 ? std::optional(KnownLength{*number, 0}) : std::nullopt;
}

Result<EditGroup> SetRulerLength(const Review& review, const MarkId& ruler, std::optional<KnownLength> length,
                                 const std::function<ScaleId()>& new_id) {
  if (FindMark(review, ruler) == nullptr) return NoSuchMark(ruler);
  const auto found = std::find_if(review.scales.begin(), review.scales.end(),
                                  [&](const ScaleDef& s) { return s.mark == ruler; });
  const bool known = found != review.scales.end();
  if (!length)
    return EditGroup{"Ruler length",
                     known ? std::vector<Edit>{Remove<ScaleId>{found->id}} : std::vector<Edit>{}};
  ScaleDef scale = known ? *found : ScaleDef{};
  if (!known) {
    scale.id = new_id();
    scale.source = ScaleSource::kRuler;
    scale.mark = ruler;
  }
  scale.known_mm = length->mm;
  scale.known_sd_mm = length->sd > 0 ? std::optional(length->sd) : std::nullopt;
  return EditGroup{"Ruler length", {Put<ScaleDef>{scale}}};
}

}  // namespace afterscope
