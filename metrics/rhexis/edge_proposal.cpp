// SPDX-License-Identifier: Apache-2.0
#include "metrics/rhexis/edge_proposal.hpp"

#include "metrics/geometry/circle.hpp"
#include "metrics/geometry/outline_model.hpp"
#include "metrics/rhexis/closed_path.hpp"
#include "metrics/rhexis/edge_likeness.hpp"
#include "metrics/rhexis/edge_middle.hpp"
#include "metrics/rhexis/edge_sight.hpp"
#include "metrics/rhexis/polar_edges.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kReach = 0.2;        // of the radius: how far from the clicks' curve the edge may run
constexpr double kReachGrows = 0.35;  // of the distance along the edge from the nearest click
constexpr double kWidth = 0.011;      // of the radius: of a narrow change
constexpr double kLeastWidth = 1.2, kMostWidth = 4;  // square pixels
constexpr double kStep = 0.5;                        // square pixels
constexpr double kChangeCost = 0.25, kFarCost = 0.5;
constexpr int kMostColumns = 2;       // from one direction to the next
constexpr double kBesideIris = 0.96;  // of the pupil's radius: its own edge is as wide as that
constexpr int kRounds = 2;
constexpr double kLeastSeen = 0.25;  // of the turn

struct Click {
  int direction = 0;
  double radius = 0;
};

std::vector<PointSq> RoundCentre(std::vector<PointSq> clicks, PointSq centre) {
  const auto turn = [&](PointSq p) { return std::atan2(p.y - centre.y, p.x - centre.x); };
  std::sort(clicks.begin(), clicks.end(), [&](PointSq a, PointSq b) { return turn(a) < turn(b); });
  return clicks;
}

double WidestGap(const std::vector<PointSq>& in_order, PointSq centre) {
  double widest = 0;
  for (std::size_t i = 0; i < in_order.size(); ++i) {
    const OffsetSq a = in_order[i] - centre, b = in_order[(i + 1) % in_order.size()] - centre;
    double gap = std::atan2(Cross(a, b), Dot(a, b));
    if (gap < 0) gap += 2 * std::numbers::pi;
    widest = std::max(widest, gap);
  }
  return widest;
}

std::string WhyNot(const Picture& picture, const std::vector<PointSq>& clicks) {
  if (picture.empty()) return "There is no picture to find the edge in.";
  if (clicks.size() < kLeastEdgeClicks) return "Click on the edge at three places or more, all round it.";
  const double width = picture.width * picture.pixel_aspect.value();
  for (const PointSq p : clicks)
    if (!(p.x >= 0 && p.y >= 0 && p.x < width && p.y < picture.height))
      return "A point of the outline lies outside the picture; move it onto the edge.";
  return {};
}

// The clicks' own curve, as radii: through the clicks where they suffice for one, else their circle.
std::vector<double> CurveOf(const std::vector<PointSq>& clicks, const CircleSq& circle, double click_sd,
                            int directions) {
  if (const auto model = OutlineModel::Fit(clicks, {click_sd, 0}, nullptr))
    if (auto radii = model->Mean().RadiiAbout(circle.centre, directions)) return *radii;
  return std::vector<double>(static_cast<std::size_t>(directions), circle.radius);
}

class Tracer {
 public:
  Tracer(const Picture& picture, const std::vector<PointSq>& clicks, const CircleSq& circle,
         const EdgeProposalOptions& options)
      : options_(options), radius_(circle.radius) {
    PolarGrid grid;
    grid.centre = circle.centre;
    curve_ = CurveOf(clicks, circle, options.click_sd, grid.directions);
    const auto [least, most] = std::minmax_element(curve_.begin(), curve_.end());
    const double margin = kReach * circle.radius + 6 * options.click_sd;
    grid.step = kStep;
    grid.first = std::max(1.0, *least - margin);
    grid.count = std::max(16, static_cast<int>((*most + margin - grid.first) / kStep));
    for (const PointSq p : clicks) {
      const OffsetSq d = p - circle.centre;
      const double turn = std::atan2(d.y, d.x) / (2 * std::numbers::pi) * grid.directions;
      clicks_.push_back({(cvRound(turn) + grid.directions) % grid.directions, d.Length()});
    }
    if (!options.pupil.empty()) last_ = RadiiOfOutline(grid, options.pupil);
    for (double& radius : last_) radius *= kBesideIris;
    edges_ =
        FindPolarEdges(picture, grid, std::clamp(kWidth * circle.radius, kLeastWidth, kMostWidth), last_);
    SetBounds();
  }

  // False where the clicks leave no path.
  bool Trace() {
    std::vector<EdgePlace> places;
    for (const Click& c : clicks_) places.push_back({c.direction, edges_.grid.ColumnAt(c.radius)});
    EdgeLikeness likeness = LearnAtClicks(edges_, places, options_.click_sd / edges_.grid.step);
    for (int round = 0;; ++round) {
      like_ = LikenessOf(edges_, likeness);
      const auto path =
          CheapestClosedPath(CostOf(like_), bounds_, clicks_.front().direction, kChangeCost, kMostColumns);
      if (!path) return false;
      path_ = *path;
      if (round == kRounds) return true;
      likeness = LearnAlong(edges_, path_, like_);
    }
  }

  EdgeProposal Proposal() const {
    std::vector<double> radii = BetweenColumns(like_, path_);
    const std::vector<double> shifts = ShiftsToMiddle(edges_, path_, options_.click_sd / edges_.grid.step);
    for (std::size_t i = 0; i < radii.size(); ++i) radii[i] += edges_.grid.step * shifts[i];
    const std::vector<SeenEdge> seen = SeenAlong(edges_, like_, path_, last_);
    return Thinned(radii, seen);
  }

 private:
  int NearestClick(int direction) const {
    int nearest = edges_.grid.directions;
    for (const Click& c : clicks_) {
      const int apart = std::abs(c.direction - direction);
      nearest = std::min({nearest, apart, edges_.grid.directions - apart});
    }
    return nearest;
  }

  void SetBounds() {
    const PolarGrid& grid = edges_.grid;
    for (int i = 0; i < grid.directions; ++i) {
      const double along = NearestClick(i) * 2 * std::numbers::pi / grid.directions * radius_;
      const double reach = std::min(kReach * radius_, 3 * options_.click_sd + kReachGrows * along);
      const double middle = curve_[static_cast<std::size_t>(i)];
      const int most = grid.count - 1;
      bounds_.push_back({std::clamp(cvFloor(grid.ColumnAt(middle - reach)), 0, most),
                         std::clamp(cvCeil(grid.ColumnAt(middle + reach)), 0, most)});
    }
    for (const Click& c : clicks_) {
      PathBounds& at = bounds_[static_cast<std::size_t>(c.direction)];
      const double reach = 3 * options_.click_sd;
      at = {std::clamp(cvFloor(grid.ColumnAt(c.radius - reach)), 0, grid.count - 1),
            std::clamp(cvCeil(grid.ColumnAt(c.radius + reach)), 0, grid.count - 1)};
    }
  }

  cv::Mat CostOf(const cv::Mat& like) const {
    cv::Mat cost = kMostLike - like;
    const PolarGrid& grid = edges_.grid;
    for (int row = 0; row < cost.rows; ++row)
      for (int column = 0; column < cost.cols; ++column) {
        const double far =
            (grid.RadiusAt(column) - curve_[static_cast<std::size_t>(row)]) / (0.5 * kReach * radius_);
        cost.at<float>(row, column) += static_cast<float>(kFarCost * far * far);
      }
    return cost;
  }

  // Where the likeness is greatest about the path, to a fraction of a column; as radii.
  std::vector<double> BetweenColumns(const cv::Mat& like, const std::vector<int>& path) const {
    std::vector<double> radii;
    for (int row = 0; row < like.rows; ++row) {
      const int c = path[static_cast<std::size_t>(row)];
      double shift = 0;
      if (c > 0 && c + 1 < like.cols) {
        const double before = like.at<float>(row, c - 1), here = like.at<float>(row, c),
                     after = like.at<float>(row, c + 1);
        const double bend = before - 2 * here + after;
        if (bend < -1e-6) shift = std::clamp(0.5 * (before - after) / bend, -0.5, 0.5);
      }
      radii.push_back(edges_.grid.RadiusAt(c + shift));
    }
    return radii;
  }

  // Stands for its own stretch of the path, weighted by how well the edge is seen.
  ProposedPoint PointOn(int direction, const std::vector<double>& radii,
                        const std::vector<SeenEdge>& seen) const {
    const PolarGrid& grid = edges_.grid;
    const int half = grid.directions / options_.points / 2;
    double sum = 0, weights = 1e-9, all = 0;
    for (int d = direction - half; d <= direction + half; ++d) {
      const auto at = static_cast<std::size_t>((d + grid.directions) % grid.directions);
      const double weight = seen[at].seen + 0.01;
      sum += weight * radii[at], weights += weight, all += seen[at].seen / (2 * half + 1);
    }
    const auto here = static_cast<std::size_t>(direction);
    ProposedPoint out{grid.At(direction, sum / weights), all, seen[here].sight};
    // Where the clicks say that it lies beyond the iris, what is seen on this side of it is something else.
    if (!last_.empty() && curve_[here] > last_[here])
      out.seen = 0, out.sight = EdgeSight::kIris;
    else if (out.sight != EdgeSight::kIris && all >= kLeastSight)
      out.sight = EdgeSight::kSeen;
    else if (out.sight == EdgeSight::kSeen)
      out.sight = EdgeSight::kFaint;
    return out;
  }

  EdgeProposal Thinned(const std::vector<double>& radii, const std::vector<SeenEdge>& seen) const {
    EdgeProposal out;
    std::vector<PointSq> kept;
    for (int i = 0; i < options_.points; ++i) {
      out.points.push_back(PointOn(i * edges_.grid.directions / options_.points, radii, seen));
      if (out.points.back().sight == EdgeSight::kSeen) kept.push_back(out.points.back().at);
    }
    GoOnWhereUnseen(kept, out);
    return out;
  }

  void GoOnWhereUnseen(std::vector<PointSq> kept, EdgeProposal& out) const {
    for (const Click& c : clicks_) kept.push_back(edges_.grid.At(c.direction, c.radius));
    const auto model =
        OutlineModel::Fit(RoundCentre(kept, edges_.grid.centre), {options_.click_sd, 0}, nullptr);
    const auto radii =
        model ? model->Mean().RadiiAbout(edges_.grid.centre, edges_.grid.directions) : std::nullopt;
    for (std::size_t i = 0; i < out.points.size(); ++i) {
      if (out.points[i].sight == EdgeSight::kSeen) continue;
      const int direction = static_cast<int>(i) * edges_.grid.directions / options_.points;
      const auto at = static_cast<std::size_t>(direction);
      const double radius = radii ? (*radii)[at] : curve_[at];
      out.points[i].at = edges_.grid.At(direction, radius);
      if (!last_.empty() && radius > last_[at]) out.points[i].sight = EdgeSight::kIris;
    }
  }

  const EdgeProposalOptions& options_;
  double radius_;
  std::vector<double> curve_;
  std::vector<double> last_;  // by direction: where the iris begins; empty: not known
  std::vector<Click> clicks_;
  PolarEdges edges_;
  std::vector<PathBounds> bounds_;
  cv::Mat like_;
  std::vector<int> path_;
};

}  // namespace

double EdgeProposal::SeenShare() const {
  const auto seen = std::count_if(points.begin(), points.end(),
                                  [](const ProposedPoint& p) { return p.sight == EdgeSight::kSeen; });
  return points.empty() ? 0 : static_cast<double>(seen) / static_cast<double>(points.size());
}

Result<EdgeProposal> ProposeEdge(const Picture& picture, const std::vector<PointSq>& clicks,
                                 const EdgeProposalOptions& options) {
  if (std::string why = WhyNot(picture, clicks); !why.empty()) return Error{ErrorCode::kBadCall, why};
  const auto circle = FitCircle(clicks);
  const auto no_centre = [] {
    return Error{ErrorCode::kNotComputable,
                 "The points do not lie all round the edge; add one on the side where there is none."};
  };
  if (!circle || !(circle->radius > 8)) return no_centre();
  const std::vector<PointSq> in_order = RoundCentre(clicks, circle->centre);
  if (WidestGap(in_order, circle->centre) > std::numbers::pi) return no_centre();
  Tracer tracer(picture, in_order, *circle, options);
  if (!tracer.Trace()) return no_centre();
  EdgeProposal proposal = tracer.Proposal();
  if (proposal.SeenShare() < kLeastSeen)
    return Error{ErrorCode::kNotComputable,
                 "No edge that looks like that at the points is seen between them; mark it by hand, or on a "
                 "frame on which it is seen better."};
  return proposal;
}

}  // namespace afterscope
