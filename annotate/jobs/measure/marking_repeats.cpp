// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/marking_repeats.hpp"

#include "annotate/jobs/geometry_view.hpp"
#include "metrics/geometry/circle.hpp"

#include <Eigen/Dense>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace afterscope {
namespace {

constexpr std::size_t kLeastPoints = 8;
constexpr double kUsualDegrees = 4;
constexpr int kMostOrder = 5;

using OutlinesSq = std::vector<std::vector<PointSq>>;

std::string StageTextOf(const Mark& mark) {
  const auto stage = mark.fields.find("stage");
  return stage == mark.fields.end() ? std::string() : stage->second;
}

PointSq MiddleOf(const std::vector<PointSq>& points) {
  OffsetSq sum;
  for (const PointSq& p : points) sum = sum + (p - PointSq{}) / static_cast<double>(points.size());
  return PointSq{} + sum;
}

// Radius = a Fourier series in the direction + a distance of the outline's own, the distances adding up to 0.
void AddOutlines(const OutlinesSq& outlines, MarkingRepeats& out) {
  std::vector<PointSq> all;
  for (const auto& outline : outlines) all.insert(all.end(), outline.begin(), outline.end());
  const auto circle = FitCircle(all);
  if (!circle) return;
  const auto count = static_cast<Eigen::Index>(outlines.size()),
             points = static_cast<Eigen::Index>(all.size());
  const auto order = std::min<Eigen::Index>(kMostOrder, points / count / 4);
  const Eigen::Index series = 1 + 2 * order, unknown = series + count - 1;
  if (points <= unknown) return;
  Eigen::MatrixXd model = Eigen::MatrixXd::Zero(points, unknown);
  Eigen::VectorXd radii(points);
  Eigen::Index row = 0;
  for (Eigen::Index j = 0; j < count; ++j)
    for (const PointSq& p : outlines[static_cast<std::size_t>(j)]) {
      const OffsetSq d = p - circle->centre;
      const double angle = std::atan2(d.y, d.x);
      radii(row) = d.Length() - circle->radius;
      model(row, 0) = 1;
      for (Eigen::Index k = 1; k <= order; ++k) {
        model(row, 2 * k - 1) = std::cos(static_cast<double>(k) * angle);
        model(row, 2 * k) = std::sin(static_cast<double>(k) * angle);
      }
      if (j + 1 < count)
        model(row, series + j) = 1;
      else
        model.row(row).tail(count - 1).setConstant(-1);
      ++row;
    }
  const Eigen::VectorXd fit = model.colPivHouseholderQr().solve(radii);
  const double squares = (radii - model * fit).squaredNorm();
  const auto degrees = static_cast<double>(points - unknown), others = static_cast<double>(count - 1);
  const Eigen::VectorXd own = fit.tail(count - 1);
  // A distance is a mean of n points, which share nothing: that much of it is theirs.
  const double by_points = squares / degrees * static_cast<double>(count) / static_cast<double>(points);
  out.outlines += static_cast<int>(count) - 1;
  out.point_squares += squares;
  out.point_degrees += degrees;
  out.shared_squares += own.squaredNorm() + own.sum() * own.sum() - others * by_points;
  out.shared_degrees += others;
}

// The next version of a review holds what the one before held, under its ids: what was moved in it was not
// marked again. Of several versions' items of one id that of the last review counts, which is measured, else
// the newest.
class VersionsOnce {
 public:
  explicit VersionsOnce(std::vector<const Review*> reviews) {
    if (reviews.empty()) return;
    std::stable_sort(reviews.begin(), reviews.end() - 1,
                     [](const Review* a, const Review* b) { return a->version < b->version; });
    for (const Review* review : reviews) {
      for (const Mark& mark : review->marks) owners_[KeyOf(*review, "mark", mark.id.value)] = review;
      for (const Trail& trail : review->trails) owners_[KeyOf(*review, "trail", trail.id.value)] = review;
    }
  }
  bool Counts(const Review& review, const Mark& mark) const {
    return owners_.at(KeyOf(review, "mark", mark.id.value)) == &review;
  }
  bool Counts(const Review& review, const Trail& trail) const {
    return owners_.at(KeyOf(review, "trail", trail.id.value)) == &review;
  }

 private:
  using Key = std::tuple<std::string, std::string, std::string>;
  static Key KeyOf(const Review& review, const char* what, const std::string& id) {
    return {(review.version_of.empty() ? review.id : review.version_of).value, what, id};
  }
  std::map<Key, const Review*> owners_;
};

// A copy of another's marks is no repeat either.
template <class Item>
void AddUnlessCopied(const Item& item, std::vector<Item>& items) {
  if (std::find(items.begin(), items.end(), item) == items.end()) items.push_back(item);
}

void AddAllOutlines(const CaseRecord& record, const std::vector<const Review*>& reviews,
                    const VersionsOnce& once, MarkingRepeats& out) {
  std::map<std::tuple<FrameRef, MarkKind, std::string>, OutlinesSq> things;
  for (const Review* review : reviews)
    for (const Mark& mark : review->marks) {
      if (!IsOutline(mark.kind) || mark.points.size() < kLeastPoints || !once.Counts(*review, mark)) continue;
      const auto points = SqFromPx(mark.points, PixelAspectOf(record, mark.at.recording));
      const PointSq middle = MiddleOf(points);
      if (std::isfinite(middle.x + middle.y))
        AddUnlessCopied(points, things[{mark.at, mark.kind, StageTextOf(mark)}]);
    }
  for (const auto& [thing, outlines] : things)
    if (outlines.size() >= 2) AddOutlines(outlines, out);
}

void AddTips(const CaseRecord& record, const std::vector<const Review*>& reviews, const VersionsOnce& once,
             MarkingRepeats& out) {
  std::map<std::tuple<FrameRef, std::string, std::string>, std::vector<PointSq>> things;
  for (const Review* review : reviews)
    for (const Trail& trail : review->trails) {
      if (!once.Counts(*review, trail)) continue;
      for (const TrailPoint& p : trail.points)
        if (p.source != TrailSource::kFollowed)
          AddUnlessCopied(SqFromPx(p.tip, PixelAspectOf(record, p.at.recording)),
                          things[{p.at, trail.instrument, trail.hand}]);
    }
  for (const auto& [thing, tips] : things) {
    if (tips.size() < 2) continue;
    const PointSq middle = MiddleOf(tips);
    for (const PointSq& p : tips) out.point_squares += Dot(p - middle, p - middle);
    out.point_degrees += 2 * static_cast<double>(tips.size() - 1);
    out.tips += static_cast<int>(tips.size()) - 1;
  }
}

double PooledSd(double usual_sd, double squares, double degrees) {
  return std::sqrt((kUsualDegrees * usual_sd * usual_sd + std::max(0.0, squares)) /
                   (kUsualDegrees + degrees));
}

}  // namespace

MarkingRepeats FindRepeats(const CaseRecord& record, const std::vector<const Review*>& reviews) {
  MarkingRepeats out;
  const VersionsOnce once(reviews);
  AddAllOutlines(record, reviews, once, out);
  AddTips(record, reviews, once, out);
  return out;
}

MarkingError ErrorFromRepeats(const MarkingError& usual, const MarkingRepeats& repeats) {
  return {PooledSd(usual.point_sd, repeats.point_squares, repeats.point_degrees),
          PooledSd(usual.shared_sd, repeats.shared_squares, repeats.shared_degrees)};
}

std::string SayMarkingError(const MarkingError& error, const MarkingRepeats& repeats) {
  if (repeats.outlines == 0 && repeats.tips == 0) return {};
  return fmt::format(
      "marking error from {} outlines and {} places of a tip that were marked again: {:.2g} px a point, "
      "{:.2g} px "
      "shared by an outline",
      repeats.outlines, repeats.tips, error.point_sd, error.shared_sd);
}

}  // namespace afterscope
