// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/propose_outline.hpp"

#include "annotate/case/words.hpp"
#include "annotate/jobs/follow/square_picture.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "metrics/eye/find_eye.hpp"
#include "metrics/eye/orientation.hpp"
#include "metrics/geometry/circle.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

constexpr int kPupilPoints = 72;
constexpr double kClicksBeyondPupil = 1.0;  // of its radius: then it is not the pupil
constexpr int kFoundPoints = 12;
constexpr double kClicksBeyondLimbus = 1.15;  // of its radius: then another eye is meant

double TurnOf(PointSq p, PointSq centre) { return std::atan2(p.y - centre.y, p.x - centre.x); }

std::vector<PointSq> PointsAlong(const EyeEllipse& ellipse, int count) {
  const EllipseMap map = MapOf(ellipse);
  std::vector<PointSq> out;
  for (int i = 0; i < count; ++i) {
    const double t = 2 * std::numbers::pi * i / count;
    const PointPx p = map.At(std::cos(t), std::sin(t));
    out.push_back({p.x, p.y});
  }
  return out;
}

bool LieWithin(const EyeEllipse& ellipse, const std::vector<PointSq>& points, double most) {
  const EllipseMap map = MapOf(ellipse);
  return std::all_of(points.begin(), points.end(), [&](PointSq p) {
    return map.Normalized({p.x, p.y}).Length() <= most;
  });
}

// The pupil as it is found, where it is to be trusted and the clicks lie within it.
std::vector<PointSq> FoundPupil(const Picture& picture, const std::vector<PointSq>& clicks) {
  const auto half = FindEye(SquareHalfBgr(picture), std::nullopt);
  if (!half.ok() || half->pupil.trust < kLeastTrust || half->limbus.trust < kLeastTrust) return {};
  const EyeEllipse pupil = Enlarged(*half, 2).pupil.ellipse;
  if (!LieWithin(pupil, clicks, kClicksBeyondPupil)) return {};
  return PointsAlong(pupil, kPupilPoints);
}

std::vector<PointSq> PupilOn(const Review& review, const Mark& clicks, const Picture& picture,
                             const std::vector<PointSq>& points) {
  for (const Mark& mark : review.marks)
    if (mark.kind == MarkKind::kPupil && mark.at == clicks.at && mark.points.size() >= 8)
      return SqFromPx(mark.points, picture.pixel_aspect.value());
  return FoundPupil(picture, points);
}

// The clicks, and between them the places at which the edge is seen; in order round the centre, from where
// the clicks begin. A place right beside a click is left to the click.
std::vector<PointSq> Joined(const std::vector<PointSq>& clicks, const EdgeProposal& edge) {
  const auto circle = FitCircle(clicks);
  if (!circle) return clicks;
  const double beside = 0.5 * 2 * std::numbers::pi * circle->radius / static_cast<double>(edge.points.size());
  std::vector<PointSq> out = clicks;
  for (const ProposedPoint& p : edge.points) {
    const bool taken = std::any_of(clicks.begin(), clicks.end(),
                                   [&](PointSq click) { return Distance(click, p.at) < beside; });
    if (p.sight == EdgeSight::kSeen && !taken) out.push_back(p.at);
  }
  const double start = TurnOf(clicks.front(), circle->centre);
  const auto turn = [&](PointSq p) {
    const double t = TurnOf(p, circle->centre) - start;
    return t < -1e-12 ? t + 2 * std::numbers::pi : t;
  };
  std::stable_sort(out.begin(), out.end(), [&](PointSq a, PointSq b) { return turn(a) < turn(b); });
  return out;
}

const char* WordOfSight(EdgeSight sight) {
  switch (sight) {
    case EdgeSight::kIris:
      return "the iris hides it";
    case EdgeSight::kGlint:
      return "a glint lies on it";
    case EdgeSight::kCovered:
      return "an instrument or something else lies on it";
    case EdgeSight::kSeen:
    case EdgeSight::kFaint:
      break;
  }
  return "it is too faint";
}

// "at 2, 3 and 4 o'clock", or at how many places where the seat is not known.
std::string Where(const std::optional<EyeOrientation>& seat, const EdgeProposal& edge, EdgeSight sight) {
  PointSq centre;
  for (const ProposedPoint& p : edge.points)
    centre = centre + (p.at - PointSq{}) / static_cast<double>(edge.points.size());
  int places = 0;
  std::array<bool, 12> at{};
  for (const ProposedPoint& p : edge.points) {
    if (p.sight != sight) continue;
    ++places;
    if (!seat) continue;
    const double hour = ClockHourFromDial(DialFromPicture(*seat, p.at - centre));
    at[static_cast<std::size_t>(std::lround(hour)) % 12] = true;
  }
  if (!seat) return places == 1 ? "at 1 place" : fmt::format("at {} places", places);
  std::vector<int> hours;
  for (int hour = 1; hour <= 12; ++hour)
    if (at[static_cast<std::size_t>(hour % 12)]) hours.push_back(hour);
  std::string out = "at ";
  for (std::size_t i = 0; i < hours.size(); ++i)
    out += fmt::format("{}{}", i == 0 ? "" : i + 1 == hours.size() ? " and " : ", ", hours[i]);
  return out + " o'clock";
}

std::string Said(const std::optional<EyeOrientation>& seat, const EdgeProposal& edge) {
  const auto count = [&](EdgeSight sight) {
    return std::count_if(edge.points.begin(), edge.points.end(),
                         [&](const ProposedPoint& p) { return p.sight == sight; });
  };
  std::string out =
      fmt::format("The edge is seen at {} of {} places", count(EdgeSight::kSeen), edge.points.size());
  for (const EdgeSight sight : {EdgeSight::kIris, EdgeSight::kGlint, EdgeSight::kCovered, EdgeSight::kFaint})
    if (count(sight) > 0) out += fmt::format("; {} {}", WordOfSight(sight), Where(seat, edge, sight));
  return out + ".";
}

// Where the pupil is by the clicks.
std::optional<PointSq> MeantByClicks(const std::vector<PointSq>& clicks) {
  if (clicks.empty()) return std::nullopt;
  if (clicks.size() < 3) return clicks.front();
  PointSq middle;
  for (const PointSq p : clicks) middle = middle + (p - PointSq{}) / static_cast<double>(clicks.size());
  return middle;
}

bool IsTrusted(const FoundEye& eye, MarkKind kind) {
  return eye.limbus.trust >= kLeastTrust && (kind == MarkKind::kLimbus || eye.pupil.trust >= kLeastTrust);
}

// Sought about the clicks first. They may also lie on the outline itself: then they are no guide to the
// pupil, and the eye is sought everywhere. In the picture's own square pixels.
Result<FoundEye> EyeMeant(const Picture& picture, MarkKind kind, const std::vector<PointSq>& clicks) {
  const cv::Mat half = SquareHalfBgr(picture);
  if (const auto meant = MeantByClicks(clicks)) {
    const auto eye = FindEye(half, PointPx{(meant->x + 0.5) / 2 - 0.5, (meant->y + 0.5) / 2 - 0.5});
    if (!eye.ok() && eye.error().code == ErrorCode::kBadCall) return eye.error();
    if (eye.ok() && IsTrusted(*eye, kind)) {
      const FoundEye whole = Enlarged(*eye, 2);
      if (LieWithin(whole.pupil.ellipse, {*meant}, kClicksBeyondPupil)) return whole;
    }
  }
  const auto eye = FindEye(half, std::nullopt);
  if (!eye.ok() && eye.error().code == ErrorCode::kBadCall) return eye.error();
  if (eye.ok() && IsTrusted(*eye, kind)) {
    const FoundEye whole = Enlarged(*eye, 2);
    if (LieWithin(whole.limbus.ellipse, clicks, kClicksBeyondLimbus)) return whole;
  }
  return Error{ErrorCode::kNotComputable,
               fmt::format("No {} can be found on this frame with trust: mark it by eight or more points "
                           "round its edge, or propose it on a clearer frame.",
                           WordOf(kind))};
}

Result<ProposedOutline> ProposeFound(const Mark& clicks, const Picture& picture,
                                     const std::vector<PointSq>& points) {
  AFTERSCOPE_ASSIGN(const FoundEye eye, EyeMeant(picture, clicks.kind, points));
  const EyeOutline& found = clicks.kind == MarkKind::kLimbus ? eye.limbus : eye.pupil;
  ProposedOutline out{clicks, {}, {}};
  out.mark.points.clear();
  for (const PointSq p : PointsAlong(found.ellipse, kFoundPoints))
    out.mark.points.push_back(PxFromSq(p, picture.pixel_aspect.value()));
  out.said = fmt::format("The {} is found: its edge is seen along {:.0f} % of it.", WordOf(clicks.kind),
                         100 * found.visible);
  return out;
}

}  // namespace

bool IsFoundUnclicked(MarkKind kind) { return kind == MarkKind::kLimbus || kind == MarkKind::kPupil; }

Result<ProposedOutline> ProposeOutline(const CaseRecord& record, const Review& review, const Mark& clicks,
                                       const Picture& picture) {
  if (clicks.kind != MarkKind::kRhexis && clicks.kind != MarkKind::kLensEdge &&
      !IsFoundUnclicked(clicks.kind))
    return Error{ErrorCode::kBadCall,
                 fmt::format("An outline can be proposed for the limbus, the pupil, the rhexis and the lens "
                             "edge, not for a mark of the kind {}.",
                             WordOf(clicks.kind))};
  if (picture.empty() || picture.frame != clicks.at)
    return Error{ErrorCode::kBadCall, "The picture of the frame that the points lie on is not at hand."};
  const double aspect = picture.pixel_aspect.value();
  const std::vector<PointSq> points = SqFromPx(clicks.points, aspect);
  if (IsFoundUnclicked(clicks.kind)) return ProposeFound(clicks, picture, points);
  EdgeProposalOptions options;
  options.pupil = PupilOn(review, clicks, picture, points);
  ProposedOutline out{clicks, {}, {}};
  AFTERSCOPE_ASSIGN(out.edge, ProposeEdge(picture, points, options));
  out.mark.points.clear();
  for (const PointSq p : Joined(points, out.edge)) out.mark.points.push_back(PxFromSq(p, aspect));
  out.said = Said(OrientationOf(record, clicks.at.recording), out.edge);
  return out;
}

}  // namespace afterscope
