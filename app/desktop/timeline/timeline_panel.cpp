// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/timeline_panel.hpp"

#include "annotate/case/tagging.hpp"
#include "app/desktop/drafts/caption_line.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/timeline/cover_line.hpp"
#include "app/desktop/timeline/hit.hpp"
#include "app/desktop/timeline/paint.hpp"
#include "app/desktop/timeline/visit_menu.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kSide = 12;
constexpr double kShortestSpan = 0.5;
constexpr double kLongestSpan = 20;

// The rows from top to bottom, at 100 %.
struct Rows {
  RowSpan moments, bands, other_bands, covers, said, quiet, ticks, funnel, moment_bands, moment_other,
      moment_said, pictures, frames;

  int LaneAt(float y) const {
    const auto in = [y](RowSpan row) { return y >= row.top && y < row.bottom; };
    return in(other_bands) || in(moment_other) ? 1 : 0;
  }
};

// When a row is there.
enum class RowWhen { kAlways, kOtherHand, kCaptions, kCovers };

struct RowHeight {
  RowSpan Rows::*row;
  float height;
  RowWhen when = RowWhen::kAlways;
};

constexpr float kPicturesHeight = 58;
constexpr RowHeight kHeights[] = {{&Rows::moments, 17},
                                  {&Rows::bands, 26},
                                  {&Rows::other_bands, 17, RowWhen::kOtherHand},
                                  {&Rows::covers, 8, RowWhen::kCovers},
                                  {&Rows::said, 9, RowWhen::kCaptions},
                                  {&Rows::quiet, 20},
                                  {&Rows::ticks, 18},
                                  {&Rows::funnel, 7},
                                  {&Rows::moment_bands, 16},
                                  {&Rows::moment_other, 14, RowWhen::kOtherHand},
                                  {&Rows::moment_said, 18, RowWhen::kCaptions},
                                  {&Rows::pictures, kPicturesHeight},
                                  {&Rows::frames, 21}};

bool IsThere(RowWhen when, const Review& review) {
  switch (when) {
    case RowWhen::kAlways:
      return true;
    case RowWhen::kOtherHand:
      return HasOtherHand(review);
    case RowWhen::kCaptions:
      return HasCaptions(review);
    case RowWhen::kCovers:
      return HasCovers(review);
  }
  return true;
}

float HeightOf(const Look& look, const RowHeight& row, const Review& review) {
  return IsThere(row.when, review) ? std::round(look.Px(row.height)) : 0;
}

float UsualHeight(const Look& look, const Review& review) {
  float height = look.Px(6);
  for (const RowHeight& row : kHeights) height += HeightOf(look, row, review);
  return height;
}

Rows RowsIn(const Look& look, const ScreenRect& area, const Review& review) {
  const float lower = UsualHeight(look, review) - area.Height();
  Rows rows;
  float y = area.top + look.Px(2);
  for (const RowHeight& each : kHeights) {
    float height = HeightOf(look, each, review);
    if (each.row == &Rows::pictures) height -= lower;
    rows.*each.row = {y, y + height};
    y += height;
  }
  return rows;
}

const Moment* FindMoment(const Review& review, const MomentId& id) {
  const auto found =
      std::find_if(review.moments.begin(), review.moments.end(), [&](const Moment& m) { return m.id == id; });
  return found == review.moments.end() ? nullptr : &*found;
}

std::string BandWords(const Scene& scene, const BandRecord& band) {
  if (band.step.empty()) return fmt::format("{} short steps", band.visits.size());
  for (const StepVisit& visit : scene.view.review.visits) {
    if (visit.id != band.visits.front()) continue;
    const double start = scene.Seconds(visit.start);
    const std::string until = visit.end ? LengthText(scene.Seconds(*visit.end) - start) : "end not set";
    return fmt::format("{}{}, from {}, {}{}{}",
                       visit.lane == 0 ? "" : "Other hand: ", scene.steps.NameOf(visit.step),
                       ClockText(start, 1), until, visit.taken_over ? ", taken over" : "",
                       visit.operator_code.empty() ? "" : ", " + visit.operator_code);
  }
  return {};
}

std::string MomentWords(const Scene& scene, const MomentRecord& record) {
  const Moment* moment = FindMoment(scene.view.review, record.moments.front());
  if (moment == nullptr) return {};
  std::string words = fmt::format("{}  {}", ClockText(scene.Seconds(moment->at), 1),
                                  moment->text.empty() ? moment->key : moment->text);
  if (record.moments.size() > 1) words += fmt::format("  (and {} more)", record.moments.size() - 1);
  return words;
}

void SayUnder(const Scene& scene, const TimelineHit& hit) {
  if (hit.moment != nullptr)
    scene.wishes.under = MomentWords(scene, *hit.moment);
  else if (hit.band != nullptr)
    scene.wishes.under = BandWords(scene, *hit.band);
  else
    scene.wishes.under = ClockText(hit.seconds, 2);
}

// The quiet line says its value where the pointer is; pressing its name shows the next one.
void SayQuietLine(const TimelineState& state, const Scene& scene, double seconds) {
  const QuietSeries* series = state.Quiet();
  if (series == nullptr) return;
  const auto value = QuietValueAt(*series, seconds);
  scene.wishes.under = value ? fmt::format("{}{} at {}: {}", series->name, series->set ? ", set" : "",
                                           ClockText(seconds, 1), QuietValueText(*series, *value))
                             : fmt::format("{}: nothing known at {}", series->name, ClockText(seconds, 1));
}

void OperateOperation(TimelineState& state, const Scene& scene, const OperationLayout& layout,
                      const Rows& rows) {
  ImGui::SetCursorScreenPos({layout.strip.left, rows.moments.top});
  ImGui::InvisibleButton("operation", {std::max(1.0F, layout.strip.right - layout.strip.left),
                                       rows.ticks.bottom - rows.moments.top});
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (ImGui::IsItemHovered()) {
    TimelineHit hit = HitOperation(layout, mouse.x, scene.look.Px(7), rows.LaneAt(mouse.y));
    if (mouse.y > rows.moments.bottom) hit.moment = nullptr;
    if (mouse.y >= rows.quiet.top) hit.band = nullptr;
    SayUnder(scene, hit);
    if (mouse.y >= rows.quiet.top && mouse.y < rows.quiet.bottom) SayQuietLine(state, scene, hit.seconds);
    OpenVisitMenu(state, hit.band);
    if (ImGui::IsMouseDoubleClicked(0) && hit.band != nullptr) {
      for (const StepVisit& visit : scene.view.review.visits)
        if (visit.id == hit.band->visits.front()) scene.wishes.jump = visit.start;
      return;
    }
    if (hit.moment != nullptr && ImGui::IsItemActivated()) {
      if (const Moment* moment = FindMoment(scene.view.review, hit.moment->moments.front()))
        scene.wishes.jump = moment->at;
      return;
    }
  }
  if (ImGui::IsItemActivated()) state.scrubs_operation = true;
  if (!ImGui::IsItemActive()) state.scrubs_operation = false;
  if (!state.scrubs_operation) return;
  const double seconds = layout.strip.SecondsAt(std::clamp(mouse.x, layout.strip.left, layout.strip.right));
  scene.wishes.jump = FrameAtSeconds(scene.tables, scene.clock, seconds);
}

// The end boundary of the recording of the last frame in sight, if its last frame is in sight.
std::optional<FrameRef> EndInSight(const Scene& scene, const MomentLayout& layout) {
  if (layout.frames.empty()) return std::nullopt;
  const FrameRef last = layout.frames.back().at;
  const auto& table = scene.tables[static_cast<std::size_t>(last.recording)];
  const bool is_last = table && !table->empty() && table->frames().back().pts == last.pts;
  return is_last ? std::optional(FrameRef{last.recording, table->end()}) : std::nullopt;
}

void DropBoundary(const BoundaryDrag& drag, EditQueue& edits) {
  if (drag.to == drag.from) return;
  const VisitId visit = drag.starting ? *drag.starting : *drag.ending;
  const VisitEdge edge = drag.starting ? VisitEdge::kStart : VisitEdge::kEnd;
  edits.Push([visit, edge, to = drag.to](CaseSession& session) {
    return MoveBoundary(session.review(), visit, edge, to);
  });
}

void StartDrag(TimelineState& state, const Scene& scene, const TimelineHit& hit) {
  state.held_centre = scene.player.playhead();
  if (hit.boundary != nullptr && scene.Editable())
    state.boundary = BoundaryDrag{
        hit.boundary->ending, hit.boundary->starting, hit.boundary->at, hit.boundary->at, false, 0, 0};
  else
    state.scrubs_moment = true;
}

void OperateMoment(TimelineState& state, const Scene& scene, EditQueue& edits, const MomentLayout& layout,
                   const Rows& rows) {
  ImGui::SetCursorScreenPos({layout.strip.left, rows.moment_bands.top});
  ImGui::InvisibleButton("moment", {std::max(1.0F, layout.strip.right - layout.strip.left),
                                    rows.frames.bottom - rows.moment_bands.top});
  const float x = ImGui::GetIO().MousePos.x;
  const TimelineHit hit = HitMoment(layout, x, scene.look.Px(6), rows.LaneAt(ImGui::GetIO().MousePos.y));
  const bool hovered = ImGui::IsItemHovered();
  if (hovered && hit.boundary != nullptr) {
    ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
    scene.wishes.under =
        fmt::format("Boundary at {}: drag it to a frame", ClockText(scene.Seconds(hit.boundary->at), 2));
  } else if (hovered) {
    SayUnder(scene, hit);
  }
  if (hovered) OpenVisitMenu(state, hit.band);
  if (hovered && ImGui::GetIO().MouseWheel != 0)
    state.span_s =
        std::clamp(state.span_s * std::pow(0.85, ImGui::GetIO().MouseWheel), kShortestSpan, kLongestSpan);
  if (ImGui::IsItemActivated()) StartDrag(state, scene, hit);
  if ((ImGui::IsItemActive() || ImGui::IsItemDeactivated()) && state.boundary && !state.boundary->dropped) {
    ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
    if (const auto at = BoundaryAt(layout, x, EndInSight(scene, layout))) state.boundary->to = *at;
    scene.wishes.jump = state.boundary->to;  // the picture shows the frame on which it would come to lie
    scene.wishes.under = fmt::format("Boundary to {}", ClockText(scene.Seconds(state.boundary->to), 2));
  } else if (ImGui::IsItemActive() && state.scrubs_moment && hit.frame != nullptr) {
    scene.wishes.jump = hit.frame->at;
  }
  if (!ImGui::IsItemDeactivated()) return;
  if (state.boundary) {
    DropBoundary(*state.boundary, edits);
    state.boundary->dropped = true;
    state.boundary->revision = scene.view.revision;
    state.boundary->until = scene.now + 1;
  }
  state.scrubs_moment = false;
  state.held_centre.reset();
}

// The words of the narration where the pointer is on its line.
void SayCaption(const Scene& scene, const CaptionLine& line, RowSpan row) {
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (mouse.y < row.top || mouse.y >= row.bottom || ImGui::IsAnyItemActive()) return;
  const std::string words = CaptionAtX(line, mouse.x);
  if (!words.empty()) scene.wishes.under = "Said: " + words;
}

// The review as it would be if the boundary were let go now.
Review WithDrag(const Review& review, const BoundaryDrag& drag) {
  Review shown = review;
  for (StepVisit& visit : shown.visits) {
    if (drag.starting == visit.id) visit.start = drag.to;
    if (drag.ending == visit.id) visit.end = drag.to;
  }
  return shown;
}

void PaintFunnel(const Scene& scene, ImDrawList* list, const OperationLayout& operation,
                 const MomentLayout& moment, RowSpan row) {
  const float from =
      std::clamp(operation.strip.XAt(moment.strip.from_s), operation.strip.left, operation.strip.right);
  const float to =
      std::clamp(operation.strip.XAt(moment.strip.to_s), operation.strip.left, operation.strip.right);
  const ImVec2 corners[] = {{from, row.top},
                            {std::max(to, from + 2), row.top},
                            {moment.strip.right, row.bottom},
                            {moment.strip.left, row.bottom}};
  list->AddConvexPolyFilled(corners, 4, Ink(scene.look.colours.raised));
  list->AddLine(corners[0], corners[3], Ink(scene.look.colours.rule));
  list->AddLine(corners[1], corners[2], Ink(scene.look.colours.rule));
}

void WantPictures(const Scene& scene, const MomentLayout& layout, SmallPictures& small) {
  std::vector<FrameRef> wanted;
  const float middle = (layout.strip.left + layout.strip.right) / 2;
  std::vector<PictureRecord> nearest = layout.pictures;
  std::sort(nearest.begin(), nearest.end(), [&](const auto& a, const auto& b) {
    return std::abs(a.left - middle) < std::abs(b.left - middle);
  });
  wanted.reserve(nearest.size());
  for (const PictureRecord& record : nearest) wanted.push_back(record.at);
  small.Want(wanted, !scene.player.playing() && scene.player.exact());
}

}  // namespace

const QuietSeries* TimelineState::Quiet() const {
  for (const QuietSeries& series : quiet)
    if (series.name == quiet_name) return &series;
  const auto usual =
      std::find_if(quiet.begin(), quiet.end(), [](const QuietSeries& series) { return !series.by_choice; });
  return usual == quiet.end() ? nullptr : &*usual;
}

double NextSpan(double span_s, bool longer) {
  constexpr double kStep = 1.4;
  return std::clamp(longer ? span_s * kStep : span_s / kStep, kShortestSpan, kLongestSpan);
}

bool HasOtherHand(const Review& review) {
  return std::any_of(review.visits.begin(), review.visits.end(),
                     [](const StepVisit& visit) { return visit.lane == 1; });
}

float TimelineHeight(const Look& look, const Review& review, float room) {
  const float usual = UsualHeight(look, review);
  return usual - std::clamp(std::round(usual - room / 2), 0.0F, std::round(look.Px(kPicturesHeight / 2)));
}

void DrawTimeline(TimelineState& state, const Scene& scene, EditQueue& edits, SmallPictures& small,
                  const ScreenRect& area) {
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float left = area.left + look.Px(kSide);
  const float right = area.right - look.Px(kSide);
  const Rows rows = RowsIn(look, area, scene.view.review);
  if (state.boundary && state.boundary->dropped &&
      (state.boundary->revision != scene.view.revision || scene.now > state.boundary->until))
    state.boundary.reset();
  const Review shown = state.boundary ? WithDrag(scene.view.review, *state.boundary) : scene.view.review;
  const FrameRef centre = state.held_centre.value_or(scene.player.playhead());
  small.SetHeight(static_cast<int>(rows.pictures.bottom - rows.pictures.top));

  const OperationLayout operation = LayOutOperation(scene.clock, shown, left, right, scene.look.unit);
  const MomentLayout moment =
      LayOutMoment(scene.clock, shown, scene.tables, centre, state.span_s, left, right,
                   (rows.pictures.bottom - rows.pictures.top) * 1.6F, scene.look.unit);
  WantPictures(scene, moment, small);

  list->AddRectFilled({left, rows.bands.top}, {right, rows.bands.bottom}, Ink(look.colours.surround));
  PaintBands(scene, list, operation.bands, rows.bands, look.fonts.body);
  PaintBands(scene, list, operation.other_hand, rows.other_bands, look.fonts.small);
  PaintMoments(scene, list, operation.moments, rows.moments);
  const CaptionLine said = LayOutCaptions(operation.strip, scene.clock, shown);
  const CaptionLine moment_said = LayOutCaptions(moment.strip, scene.clock, shown);
  if (rows.said.bottom > rows.said.top) PaintCaptionLine(scene, list, said, rows.said, false);
  const auto covers = LayOutCovers(operation.strip, scene.clock, shown);
  PaintCoverLine(scene, list, covers, rows.covers);
  if (const QuietSeries* series = state.Quiet())
    PaintQuietLine(scene, list, *series, operation.strip, rows.quiet);
  PaintTicks(scene, list, operation, rows.ticks);
  if (scene.clock.TotalSeconds() > 0) PaintFunnel(scene, list, operation, moment, rows.funnel);
  list->AddRectFilled({left, rows.moment_bands.top}, {right, rows.pictures.bottom},
                      Ink(look.colours.surround));
  PaintBands(scene, list, moment.bands, rows.moment_bands, look.fonts.small);
  PaintBands(scene, list, moment.other_hand, rows.moment_other, look.fonts.small);
  if (rows.moment_said.bottom > rows.moment_said.top)
    PaintCaptionLine(scene, list, moment_said, rows.moment_said, true);
  PaintPictures(scene, list, moment, small, rows.pictures);
  PaintFrames(scene, list, moment, rows.frames, scene.player.playhead());
  const auto in_hand = state.boundary ? std::optional(state.boundary->to) : std::nullopt;
  PaintBoundaries(scene, list, moment.boundaries, 1, rows.moment_other, rows.moment_other, in_hand);
  PaintBoundaries(scene, list, moment.boundaries, 0, rows.moment_bands,
                  {rows.moment_bands.top, rows.pictures.bottom}, in_hand);
  if (scene.clock.TotalSeconds() <= 0) return;
  const double seconds = scene.Seconds(scene.player.playhead());
  PaintPlayhead(scene, list, operation.strip.XAt(seconds), {rows.moments.top, rows.ticks.top + look.Px(4)});
  PaintPlayhead(scene, list, moment.strip.XAt(seconds), {rows.pictures.top, rows.frames.top + look.Px(9)});
  OperateOperation(state, scene, operation, rows);
  OperateMoment(state, scene, edits, moment, rows);
  SayCover(scene, covers, rows.covers);
  SayCaption(scene, said, rows.said);
  SayCaption(scene, moment_said, rows.moment_said);
  DrawVisitMenu(state, scene);
}

}  // namespace afterscope
