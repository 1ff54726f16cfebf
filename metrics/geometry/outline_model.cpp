// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/outline_model.hpp"

#include "metrics/geometry/circle.hpp"
#include "metrics/geometry/polygon.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

namespace afterscope {
namespace {

constexpr int kOrder = 10;              // highest term of the series
constexpr int kTerms = 2 * kOrder + 1;  // 1, cos, sin, cos 2 ...
// Candidates for s as a share of the radius, equally likely beforehand; the first stands for a circle.
constexpr std::array kSizes{1e-4, 0.004, 0.008, 0.016, 0.03, 0.06, 0.12, 0.25, 0.5};
// And for p: an edge of a few wide waves, or one that is torn in steps.
constexpr std::array kFalls{1.6, 2.5};
// Square pixels; squares of radii outside are beyond what double precision tells apart.
constexpr double kLeastRadius = 1e-3, kMostRadius = 1e6;

using Terms = Eigen::Matrix<double, kTerms, 1>;
using TermsMatrix = Eigen::Matrix<double, kTerms, kTerms>;

Terms SeriesAt(double angle) {
  Terms row;
  row(0) = 1;
  for (Eigen::Index k = 1; k <= kOrder; ++k) {
    row(2 * k - 1) = std::cos(k * angle);
    row(2 * k) = std::sin(k * angle);
  }
  return row;
}

Terms SlopesAt(double angle) {
  Terms row;
  row(0) = 0;
  for (Eigen::Index k = 1; k <= kOrder; ++k) {
    row(2 * k - 1) = -k * std::sin(k * angle);
    row(2 * k) = k * std::cos(k * angle);
  }
  return row;
}

// The series and its slopes in all directions of a RadialCurve.
const std::array<Eigen::MatrixXd, 2>& Basis() {
  static const std::array<Eigen::MatrixXd, 2> basis = [] {
    std::array<Eigen::MatrixXd, 2> out{Eigen::MatrixXd(OutlineModel::kDirections, kTerms),
                                       Eigen::MatrixXd(OutlineModel::kDirections, kTerms)};
    for (int i = 0; i < OutlineModel::kDirections; ++i) {
      const double angle = 2 * std::numbers::pi * i / OutlineModel::kDirections;
      out[0].row(i) = SeriesAt(angle).transpose();
      out[1].row(i) = SlopesAt(angle).transpose();
    }
    return out;
  }();
  return basis;
}

// Prior precision of each term.
Terms PriorPrecision(double radius, double size, double fall) {
  Terms precision;
  precision.head<3>().setConstant(1 / (radius * radius));
  for (Eigen::Index k = 2; k <= kOrder; ++k) {
    const double sd = size * radius / std::pow(k, fall);
    precision(2 * k - 1) = precision(2 * k) = 1 / (sd * sd);
  }
  return precision;
}

struct Candidate {
  double weight = 0;   // log likelihood first, then the share
  Terms mean;          // of the terms about the radius of the best circle
  TermsMatrix spread;  // times standard normal numbers: a draw's difference from the mean
};

Candidate Evaluate(const TermsMatrix& information, const Terms& projected, double radius, double size,
                   double fall) {
  const Terms precision = PriorPrecision(radius, size, fall);
  TermsMatrix posterior = information;
  posterior.diagonal() += precision;
  const Eigen::LLT<TermsMatrix> factor(posterior);
  Candidate out;
  out.mean = factor.solve(projected);
  out.weight = (projected.dot(out.mean) + precision.array().log().sum()) / 2;
  for (int i = 0; i < kTerms; ++i) out.weight -= std::log(factor.matrixL()(i, i));
  out.spread = factor.matrixU().solve(TermsMatrix::Identity());
  return out;
}

void WeightsFromLogs(std::vector<Candidate>& candidates) {
  double most = candidates.front().weight, sum = 0;
  for (const Candidate& c : candidates) most = std::max(most, c.weight);
  for (Candidate& c : candidates) sum += c.weight = std::exp(c.weight - most);
  for (Candidate& c : candidates) c.weight /= sum;
}

RadialCurve CurveOf(PointSq centre, const Terms& terms) {
  RadialCurve out{centre, std::vector<double>(OutlineModel::kDirections),
                  std::vector<double>(OutlineModel::kDirections)};
  const Eigen::VectorXd radii = Basis()[0] * terms, slopes = Basis()[1] * terms;
  std::copy_n(radii.data(), radii.size(), out.radii.begin());
  std::copy_n(slopes.data(), slopes.size(), out.slopes.begin());
  return out;
}

std::string WhyNot(const std::vector<PointSq>& marked, const std::optional<CircleSq>& circle) {
  const auto finite = [](PointSq p) { return std::isfinite(p.x) && std::isfinite(p.y); };
  if (!std::all_of(marked.begin(), marked.end(), finite)) return "a point of the outline has no position";
  if (marked.size() < 5) return "the outline has fewer than 5 points";
  if (!circle) return "the outline's points lie on a line";
  if (!(circle->radius >= kLeastRadius && circle->radius <= kMostRadius))
    return "the outline is too small or too large to be measured";
  if (SelfCrossing(marked)) return "the outline crosses itself";
  const double way = SignedArea(marked) > 0 ? 1 : -1;
  double round = 0;
  for (std::size_t i = 0; i < marked.size(); ++i) {
    const OffsetSq a = marked[i] - circle->centre, b = marked[(i + 1) % marked.size()] - circle->centre;
    round += std::atan2(Cross(a, b), Dot(a, b)) * way;
  }
  if (std::abs(round - 2 * std::numbers::pi) > 0.01) return "the outline does not run round its centre once";
  return {};
}

// A fold shows as a step backwards that marking error can't explain.
bool Folded(const std::vector<PointSq>& marked, PointSq centre, double sd) {
  const double way = SignedArea(marked) > 0 ? 1 : -1;
  for (std::size_t i = 0; i < marked.size(); ++i) {
    const OffsetSq a = marked[i] - centre, b = marked[(i + 1) % marked.size()] - centre;
    const double back = -std::atan2(Cross(a, b), Dot(a, b)) * way * std::min(a.Length(), b.Length());
    if (back > 6 * sd + 1e-9) return true;
  }
  return false;
}

}  // namespace

struct OutlineModel::Posterior {
  std::vector<Candidate> candidates;
  double radius = 0;
  PointSq centre;
};

std::optional<OutlineModel> OutlineModel::Fit(const std::vector<PointSq>& marked, const MarkingError& error,
                                              std::string* why) {
  const std::optional<CircleSq> circle = FitCircle(marked);
  std::string reason = WhyNot(marked, circle);
  if (reason.empty() && Folded(marked, circle->centre, error.point_sd)) reason = "the outline is folded";
  if (!reason.empty()) {
    if (why) *why = reason;
    return std::nullopt;
  }
  const double sd = std::max(error.point_sd, 1e-4 * circle->radius);
  TermsMatrix information = TermsMatrix::Zero();
  Terms projected = Terms::Zero();
  for (const PointSq& p : marked) {
    const OffsetSq d = p - circle->centre;
    const Terms row = SeriesAt(std::atan2(d.y, d.x)) / sd;
    information += row * row.transpose();
    projected += row * ((d.Length() - circle->radius) / sd);
  }
  auto posterior = std::make_shared<Posterior>();
  posterior->radius = circle->radius;
  posterior->centre = circle->centre;
  for (const double fall : kFalls)
    for (const double size : kSizes)
      posterior->candidates.push_back(Evaluate(information, projected, circle->radius, size, fall));
  WeightsFromLogs(posterior->candidates);

  Terms mean = Terms::Zero();
  for (const Candidate& c : posterior->candidates) mean += c.weight * c.mean;
  mean(0) += circle->radius;
  OutlineModel out;
  out.error_ = error;
  out.mean_ = CurveOf(circle->centre, mean);
  out.posterior_ = std::move(posterior);
  return out;
}

std::vector<RadialCurve> OutlineModel::Draw(int count, unsigned seed) const {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  std::vector<double> weights;
  for (const Candidate& c : posterior_->candidates) weights.push_back(c.weight);
  std::discrete_distribution<std::size_t> which(weights.begin(), weights.end());
  std::vector<RadialCurve> out;
  out.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    const Candidate& candidate = posterior_->candidates[which(random)];
    Terms terms;
    for (int k = 0; k < kTerms; ++k) terms(k) = normal(random);
    terms = candidate.mean + candidate.spread * terms;
    terms(0) += posterior_->radius + error_.shared_sd * normal(random);
    out.push_back(CurveOf(posterior_->centre, terms));
  }
  return out;
}

}  // namespace afterscope
