// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"

#include <fmt/format.h>

#include <charconv>

namespace afterscope {
namespace {

constexpr const char* kShape = "shape";
constexpr const char* kUntil = "until";

template <class Number>
bool Read(std::string_view text, Number& into) {
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), into);
  return problem == std::errc() && end == text.data() + text.size();
}

std::optional<FrameRef> ParseFrame(std::string_view text) {
  const std::size_t colon = text.find(':');
  FrameRef at;
  if (colon == std::string_view::npos || !Read(text.substr(0, colon), at.recording) ||
      !Read(text.substr(colon + 1), at.pts.ticks))
    return std::nullopt;
  return at;
}

}  // namespace

CoverShape ShapeOfCover(const Mark& cover) {
  const auto shape = cover.fields.find(kShape);
  if (shape == cover.fields.end()) return CoverShape::kBox;
  if (shape->second == WordOf(CoverShape::kEllipse)) return CoverShape::kEllipse;
  return shape->second == WordOf(CoverShape::kOutside) ? CoverShape::kOutside : CoverShape::kBox;
}

std::string_view WordOf(CoverShape shape) {
  switch (shape) {
    case CoverShape::kBox:
      return "box";
    case CoverShape::kEllipse:
      return "ellipse";
    case CoverShape::kOutside:
      return "outside";
  }
  return "box";
}

void SetShape(Mark& cover, CoverShape shape) { cover.fields[kShape] = WordOf(shape); }

std::vector<PointPx> GripsOfCover(const Mark& cover) {
  std::vector<PointPx> grips = cover.points;
  if (grips.size() != 2) return grips;
  const PointPx a = grips[0], b = grips[1];
  grips.insert(grips.end(), {{a.x, b.y}, {b.x, a.y}});
  if (ShapeOfCover(cover) != CoverShape::kOutside) grips.push_back(a + 0.5 * (b - a));
  return grips;
}

void MoveGripOfCover(Mark& cover, std::size_t grip, PointPx to) {
  const std::vector<PointPx> grips = GripsOfCover(cover);
  if (grip >= grips.size()) return;
  if (grip < cover.points.size()) {
    cover.points[grip] = to;
  } else if (grip == 2) {
    cover.points = {{to.x, grips[0].y}, {grips[1].x, to.y}};
  } else if (grip == 3) {
    cover.points = {{grips[0].x, to.y}, {to.x, grips[1].y}};
  } else {
    for (PointPx& corner : cover.points) corner = corner + (to - grips[grip]);
  }
}

std::optional<HalfOpen<FrameRef>> RangeOfCover(const Mark& cover) {
  const auto until = cover.fields.find(kUntil);
  if (until == cover.fields.end()) return std::nullopt;
  const auto end = ParseFrame(until->second);
  return end && cover.at < *end ? std::optional(HalfOpen<FrameRef>{cover.at, *end}) : std::nullopt;
}

void SetRange(Mark& cover, const std::optional<HalfOpen<FrameRef>>& range) {
  cover.fields.erase(kUntil);
  if (!range) return;
  cover.at = range->start;
  cover.fields[kUntil] = fmt::format("{}:{}", range->end.recording, range->end.pts.ticks);
}

bool CoverHolds(const Mark& cover, FrameRef at) {
  const auto range = RangeOfCover(cover);
  return range ? range->Contains(at) : cover.at.recording == at.recording;
}

Status CheckCover(const Mark& cover) {
  if (!cover.fields.contains(kUntil) || RangeOfCover(cover)) return {};
  return Error{ErrorCode::kBadCall,
               fmt::format("Cover '{}' ends at '{}', which is no RECORDING:TICKS after its own frame.",
                           cover.id.value, cover.fields.at(kUntil))};
}

std::vector<CoverArea> CoversOf(const Review& review, int recording) {
  std::vector<CoverArea> covers;
  for (const Mark& mark : review.marks) {
    if (mark.kind != MarkKind::kCover || mark.points.size() != 2) continue;
    const auto range = RangeOfCover(mark);
    if (mark.at.recording > recording || (range ? range->end : mark.at).recording < recording) continue;
    covers.push_back({ShapeOfCover(mark), mark.points[0], mark.points[1], range});
  }
  return covers;
}

}  // namespace afterscope
