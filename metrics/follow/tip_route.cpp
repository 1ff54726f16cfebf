// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_route.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kNever = 1e9;
constexpr std::size_t kHiddenKept = 6;  // places remembered while the tip is out of sight

struct State {
  TipCandidate at;  // while hidden: where it was seen last
  bool hidden = false;
  double since = 0;      // seconds when the tip was last seen (forward) there
  double cost = 0;       // of this state itself
  double best = kNever;  // of the best route up to and with this state
  int from = -1;
};

using Layer = std::vector<State>;

class Router {
 public:
  Router(const std::vector<RouteFrame>& frames, double px_per_mm, const RouteOptions& options)
      : frames_(frames), px_per_mm_(px_per_mm), options_(options) {}

  // Layers in the given direction (order of frames as passed).
  std::vector<Layer> Run() const {
    std::vector<Layer> layers;
    for (std::size_t i = 0; i < frames_.size(); ++i) {
      layers.push_back(Seen(frames_[i]));
      if (layers.size() == 1) {
        for (State& s : layers[0]) s.best = s.cost;
        if (layers[0].empty()) layers[0].push_back(Nowhere(frames_[0]));
        continue;
      }
      for (State& s : layers[i]) Reach(layers[i - 1], s);
      if (!frames_[i].set_by_hand) Hide(layers[i - 1], layers[i]);
    }
    return layers;
  }

 private:
  double CostOf(double odds) const {
    return options_.most_odds - std::clamp(odds, -options_.most_odds, options_.most_odds);
  }
  State Nowhere(const RouteFrame& frame) const {
    State s;
    s.hidden = true, s.since = frame.seconds, s.cost = s.best = options_.hidden_cost;
    return s;
  }

  Layer Seen(const RouteFrame& frame) const {
    Layer layer;
    const auto add = [&](const TipCandidate& at, double cost) {
      State s;
      s.at = at, s.since = frame.seconds, s.cost = cost;
      layer.push_back(s);
    };
    if (frame.set_by_hand)
      add(*frame.set_by_hand, 0);
    else
      for (const TipCandidate& c : frame.candidates) add(c, CostOf(c.odds));
    return layer;
  }

  // Moving and turning are charged by how far, in units of what is usual for the time: square near, straight
  // far (Huber); looking different by how much. What a walk did between the two, it saw.
  double MoveCost(const State& a, const State& b, double seconds) const {
    const double usual =
        options_.speed_mm_s * px_per_mm_ * std::max(std::abs(seconds), 1e-3) + 0.05 * px_per_mm_;
    const double u = Distance(a.at.pose.tip, b.at.pose.tip) / usual;
    const double turned = std::remainder((a.at.pose.shaft - b.at.pose.shaft).degrees(), 360.0);
    const double v = turned / (options_.turn_deg * std::sqrt(1 + 10 * std::abs(seconds)));
    const auto huber = [](double x) { return std::abs(x) < 1 ? x * x : 2 * std::abs(x) - 1; };
    const double look = std::abs(seconds) <= options_.look_seconds
                            ? options_.look_weight * (1 - Likeness(a.at.glimpse, b.at.glimpse))
                            : 0;
    const bool on_walk = !a.hidden && !b.hidden && (a.at.evidence.walked_by & b.at.evidence.walked_by) != 0;
    return (on_walk ? options_.on_walk : 1) * (huber(u) + 0.5 * huber(v) + look);
  }

  void Reach(const Layer& before, State& s) const {
    for (std::size_t k = 0; k < before.size(); ++k) {
      const State& b = before[k];
      const double cost =
          b.best + s.cost + MoveCost(b, s, s.since - b.since) + (b.hidden ? options_.change_cost : 0);
      if (cost < s.best) s.best = cost, s.from = static_cast<int>(k);
    }
  }

  // A hidden state for every place that the tip may have been lost at.
  void Hide(const Layer& before, Layer& layer) const {
    Layer hidden;
    for (std::size_t k = 0; k < before.size(); ++k) {
      State s = before[k];
      s.hidden = true, s.cost = options_.hidden_cost, s.from = static_cast<int>(k);
      s.best = before[k].best + s.cost + (before[k].hidden ? 0 : options_.change_cost);
      hidden.push_back(s);
    }
    const std::size_t kept = std::min(hidden.size(), kHiddenKept);
    std::partial_sort(hidden.begin(), hidden.begin() + static_cast<std::ptrdiff_t>(kept), hidden.end(),
                      [](const State& a, const State& b) { return a.best < b.best; });
    layer.insert(layer.end(), hidden.begin(), hidden.begin() + static_cast<std::ptrdiff_t>(kept));
  }

  const std::vector<RouteFrame>& frames_;
  double px_per_mm_;
  const RouteOptions& options_;
};

// Costs of the best whole route through each candidate of each frame, and through being hidden: forward plus
// backward less what both counted.
struct Through {
  std::vector<double> seen;
  double hidden = kNever;
};

std::vector<Through> Marginals(const std::vector<Layer>& forward, const std::vector<Layer>& backward,
                               const std::vector<RouteFrame>& frames, double change_cost) {
  std::vector<Through> all(frames.size());
  for (std::size_t i = 0; i < frames.size(); ++i) {
    const Layer& f = forward[i];
    const Layer& b = backward[frames.size() - 1 - i];
    const std::size_t seen = frames[i].set_by_hand ? 1 : frames[i].candidates.size();
    for (std::size_t k = 0; k < seen; ++k) all[i].seen.push_back(f[k].best + b[k].best - f[k].cost);
    double least_f = kNever, least_b = kNever, cost = 0;
    for (std::size_t k = seen; k < f.size(); ++k) least_f = std::min(least_f, f[k].best), cost = f[k].cost;
    for (std::size_t k = seen; k < b.size(); ++k) least_b = std::min(least_b, b[k].best);
    // The move across the gap is left out: a lower bound, which makes the margin the smaller.
    if (least_f < kNever && least_b < kNever) all[i].hidden = least_f + least_b - cost - change_cost;
  }
  return all;
}

}  // namespace

std::vector<RoutePoint> BestRoute(const std::vector<RouteFrame>& frames, double px_per_mm,
                                  const RouteOptions& options) {
  std::vector<RoutePoint> out(frames.size());
  if (frames.empty()) return out;
  const std::vector<Layer> forward = Router(frames, px_per_mm, options).Run();
  const std::vector<RouteFrame> reversed(frames.rbegin(), frames.rend());
  const std::vector<Layer> backward = Router(reversed, px_per_mm, options).Run();
  const std::vector<Through> through = Marginals(forward, backward, frames, options.change_cost);
  const auto last = std::min_element(forward.back().begin(), forward.back().end(),
                                     [](const State& a, const State& b) { return a.best < b.best; });
  int k = static_cast<int>(last - forward.back().begin());
  for (std::size_t i = frames.size(); i-- > 0; k = forward[i][static_cast<std::size_t>(k)].from) {
    const State& s = forward[i][static_cast<std::size_t>(k)];
    if (!s.hidden) out[i].at = s.at;
    double rival = s.hidden ? kNever : through[i].hidden;
    const double own = s.hidden ? through[i].hidden : through[i].seen[static_cast<std::size_t>(k)];
    for (std::size_t j = 0; j < through[i].seen.size(); ++j) {
      const bool elsewhere =
          s.hidden || (!frames[i].set_by_hand && Distance(frames[i].candidates[j].pose.tip, s.at.pose.tip) >
                                                     options.apart_mm * px_per_mm);
      if (elsewhere) rival = std::min(rival, through[i].seen[j]);
    }
    out[i].margin = std::clamp(rival - own, 0.0, 100.0);
    if (s.from < 0) break;
  }
  return out;
}

}  // namespace afterscope
