// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/incision.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/geometry/open_curve.hpp"
#include "metrics/series/draws.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

constexpr int kPerPiece = 8;

// In manual small-incision surgery 5.5 to 7 mm across and 1.5 to 2 mm behind the limbus are usual: common
// practice, no source.
const char* const kChordMethod =
    "straight from one end of the outer groove to the other, on the sclera without a corneal factor; usual "
    "are "
    "5.5 to 7 mm";
const char* const kArcMethod =
    "along the outer groove, through its points by arcs of circles, on the sclera without a corneal factor";
const char* const kLimbusMethod =
    "least distance of the outer groove from the limbus on that frame, outwards, on the sclera without a "
    "corneal factor; usual are 1.5 to 2 mm";

struct TunnelDraws {
  std::vector<double> chord, arc, from_limbus;  // square pixels
};

double AngleOf(OffsetSq d) {
  const double turn = std::atan2(d.y, d.x);
  return turn < 0 ? turn + 2 * std::numbers::pi : turn;
}

// How far places lie outside a curve at the nearest of them: along the radius, times the cosine by which the
// curve leans there.
double LeastOutside(const std::vector<PointSq>& places, const RadialCurve& curve) {
  double least = std::numeric_limits<double>::infinity();
  for (const PointSq& place : places) {
    const OffsetSq off = place - curve.centre;
    const double turn = AngleOf(off) / (2 * std::numbers::pi) * static_cast<double>(curve.size());
    const std::size_t i = static_cast<std::size_t>(turn) % curve.size(), next = (i + 1) % curve.size();
    const double share = turn - std::floor(turn);
    const double radius = (1 - share) * curve.radii[i] + share * curve.radii[next];
    const double lean = curve.slopes[i] / radius;
    least = std::min(least, (off.Length() - radius) / std::sqrt(1 + lean * lean));
  }
  return least;
}

void Measure(const std::vector<PointSq>& groove, const RadialCurve* limbus, double too_long, double too_far,
             TunnelDraws& out) {
  const std::vector<PointSq> places = SmoothOpenCurve(groove, kPerPiece);
  out.chord.push_back(Distance(groove.front(), groove.back()) + too_long);
  out.arc.push_back(LengthAlong(places) + too_long);
  if (limbus) out.from_limbus.push_back(LeastOutside(places, *limbus) + too_far);
}

double MeanRadius(const RadialCurve& curve) {
  double sum = 0;
  for (const double radius : curve.radii) sum += radius;
  return sum / static_cast<double>(curve.size());
}

// Marked again: every point differs on its own; what is shared makes the whole too long by both ends, or lie
// too far out.
TunnelDraws Draw(const MeasureContext& context, const std::vector<PointSq>& groove,
                 const OutlineModel* limbus) {
  const int count = std::max(context.options.simulations, 100);
  const auto curves = limbus ? limbus->Draw(count, context.Seed(61)) : std::vector<RadialCurve>();
  std::mt19937_64 random(context.Seed(62));
  std::normal_distribution<double> normal;
  TunnelDraws out;
  for (int i = 0; i < count; ++i) {
    std::vector<PointSq> again;
    again.reserve(groove.size());
    for (const PointSq& point : groove)
      again.push_back(point + context.error.point_sd * OffsetSq{normal(random), normal(random)});
    const double too_long = 2 * context.error.shared_sd * normal(random);
    const double too_far = context.error.shared_sd * normal(random);
    const RadialCurve* curve = limbus ? &curves[static_cast<std::size_t>(i)] : nullptr;
    Measure(again, curve, too_long, too_far, out);
    // A limbus that is larger than marked is nearer, and has fewer millimetres a pixel, if the scale is from
    // it.
    if (limbus) out.from_limbus.back() *= MeanRadius(limbus->Mean()) / MeanRadius(*curve);
  }
  return out;
}

// Marking again moves the mean as much as marking once did: that is taken out of both. It is itself known
// only as far as the marks are, which widens the spread.
std::vector<double> WithoutBias(std::vector<double> draws, double marked) {
  const auto count = static_cast<double>(draws.size());
  double mean = 0, variance = 0;
  for (const double draw : draws) mean += draw / count;
  for (const double draw : draws) variance += (draw - mean) * (draw - mean) / count;
  const double bias = mean - marked, wider = variance > 0 ? std::sqrt(1 + bias * bias / variance) : 1;
  for (double& draw : draws) draw = marked - bias + wider * (draw - mean);
  return draws;
}

class TunnelFindings {
 public:
  TunnelFindings(const MeasureContext& context, const Mark& mark, std::vector<Finding>& out)
      : context_(context), mark_(mark), out_(out) {}

  void Length(const char* name, std::vector<double> draws, double marked, const char* method, unsigned seed,
              const Mark* limbus = nullptr) {
    Origin origin;
    origin.marks = {&mark_};
    if (limbus) origin.marks.push_back(limbus);
    const DrawnSize size{WithoutBias(std::move(draws), marked), 1, mark_.at, context_.Seed(seed), method};
    Measured measured = InPlane(context_, size, Plane::kSclera, &origin.scale);
    out_.push_back(MakeFinding(context_, name, std::move(measured), origin));
  }
  void None(const char* name, const char* method, const char* reason) {
    Origin origin;
    origin.marks = {&mark_};
    out_.push_back(MakeFinding(context_, name, NotMeasured("mm", method, reason), origin));
  }

 private:
  const MeasureContext& context_;
  const Mark& mark_;
  std::vector<Finding>& out_;
};

void MeasureTunnel(const MeasureContext& context, const Mark& mark, std::vector<Finding>& out) {
  TunnelFindings add(context, mark, out);
  const std::vector<PointSq> groove = context.Points(mark);
  if (groove.size() < 2 || !(Distance(groove.front(), groove.back()) > 0)) {
    const char* reason = "the tunnel has no two ends apart from each other";
    add.None("tunnel.chord", kChordMethod, reason);
    add.None("tunnel.arc", kArcMethod, reason);
    return add.None("tunnel.from_limbus", kLimbusMethod, reason);
  }
  const MarkedOutline* limbus = context.OutlineOn(mark.at, MarkKind::kLimbus);
  const OutlineModel* model = limbus ? &*limbus->model : nullptr;
  TunnelDraws marked;
  Measure(groove, model ? &model->Mean() : nullptr, 0, 0, marked);
  TunnelDraws draws = Draw(context, groove, model);
  add.Length("tunnel.chord", std::move(draws.chord), marked.chord.front(), kChordMethod, 63);
  if (groove.size() > 2)
    add.Length("tunnel.arc", std::move(draws.arc), marked.arc.front(), kArcMethod, 64);
  else
    add.None("tunnel.arc", kArcMethod, "the groove has two points alone; mark it along its way");
  if (limbus)
    add.Length("tunnel.from_limbus", std::move(draws.from_limbus), marked.from_limbus.front(), kLimbusMethod,
               65, limbus->mark);
  else
    add.None("tunnel.from_limbus", kLimbusMethod, "no limbus outline on the frame of the tunnel");
}

}  // namespace

void MeasureTunnels(const MeasureContext& context, std::vector<Finding>& out) {
  for (const Mark& mark : context.review.marks)
    if (IsTunnel(mark)) MeasureTunnel(context, mark, out);
}

}  // namespace afterscope
