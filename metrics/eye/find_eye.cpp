// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/find_eye.hpp"

#include "metrics/eye/eye_colors.hpp"
#include "metrics/eye/ring_fit.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr int kCoarseSide = 160;
constexpr int kCoarseRays = 72;
constexpr std::size_t kKept = 12;

struct Guess {
  EllipseMap map;      // of the limbus, in coarse pixels
  double pupil = 0.6;  // pupil radius as a share of the limbus
  double score = 0;
};

EllipseMap OvalMap(PointPx center, double oval) {
  EllipseMap map;
  map.center = center;
  map.xx = 1 + oval, map.yy = 1 - oval;
  return map;
}

// What is usual on such recordings: a limbus about half as wide as the picture is high, a dilated pupil, both
// about the same centre (common practice, no source). Wide enough to be overruled by what is seen.
double Usual(double limbus_share, double pupil_ratio, double off_center) {
  const double size = std::log(limbus_share / 0.5) / 0.4, pupil = (pupil_ratio - 0.65) / 0.22,
               off = off_center / 0.12;
  return std::exp(-0.5 * (size * size + pupil * pupil + off * off));
}

// The best pair of rings about one centre for each limbus radius that is a local best.
std::vector<Guess> BestPairs(const cv::Mat& colors, PointPx center, double oval, double least, double most) {
  const EllipseMap unit = OvalMap(center, oval);
  const double side = std::min(colors.cols, colors.rows);
  const int count = static_cast<int>(most * 1.25) + 2;
  const RingView view(colors, unit, kCoarseRays, 0, 1, count);
  std::vector<double> pupil(static_cast<std::size_t>(count), 0);
  const auto strength = [&](int r, RingKind kind) {
    return RingStrength(view, r, std::max(2, static_cast<int>(std::lround(0.12 * r))), kind);
  };
  for (int r = 3; r <= 0.9 * most; ++r) pupil[static_cast<std::size_t>(r)] = strength(r, RingKind::kPupil);
  std::vector<Guess> all;
  for (int r = static_cast<int>(std::ceil(least)); r <= most && r < count; ++r) {
    const double limbus = strength(r, RingKind::kLimbus);
    Guess best;
    for (int i = std::max(3, static_cast<int>(0.25 * r)); i <= 0.88 * r; ++i) {
      const double seen = std::sqrt(limbus * pupil[static_cast<std::size_t>(i)]);
      if (seen <= best.score) continue;  // what is usual makes it no more
      const double ratio = static_cast<double>(i) / r;
      const double score = seen * Usual(2 * r / side, ratio, 0);
      if (score <= best.score) continue;
      best.score = score, best.pupil = ratio, best.map = unit;
      best.map.xx *= r, best.map.yy *= r;
    }
    all.push_back(best);
  }
  std::vector<Guess> peaks;
  for (std::size_t i = 1; i + 1 < all.size(); ++i)
    if (all[i].score >= all[i - 1].score && all[i].score > all[i + 1].score) peaks.push_back(all[i]);
  return peaks;
}

void Keep(std::vector<Guess>& kept, const Guess& guess) {
  if (guess.score <= 0) return;
  for (Guess& other : kept) {
    const double size = other.map.xx;
    if (std::abs(guess.map.xx - size) > 0.1 * size ||
        Distance(other.map.center, guess.map.center) > 0.12 * size)
      continue;
    if (guess.score > other.score) other = guess;
    return;
  }
  kept.push_back(guess);
}

std::vector<Guess> CoarseGuesses(const EyeColors& coarse, std::optional<PointPx> click,
                                 const FindEyeOptions& options) {
  const double side = std::min(coarse.channels.cols, coarse.channels.rows);
  const double least = 0.5 * options.least_limbus * side, most = 0.5 * options.most_limbus * side;
  double x0 = 0.12 * coarse.channels.cols, x1 = 0.88 * coarse.channels.cols;
  double y0 = 0.12 * coarse.channels.rows, y1 = 0.88 * coarse.channels.rows;
  if (click) {
    const double reach = 0.16 * side;
    const PointPx at{(click->x + 0.5) / coarse.factor - 0.5, (click->y + 0.5) / coarse.factor - 0.5};
    x0 = at.x - reach, x1 = at.x + reach, y0 = at.y - reach, y1 = at.y + reach;
  }
  std::vector<Guess> kept;
  for (double y = y0; y <= y1; y += 3)
    for (double x = x0; x <= x1; x += 3)
      for (const double oval : {0.0, 0.07, -0.07})
        for (const Guess& guess : BestPairs(coarse.channels, {x, y}, oval, least, most)) Keep(kept, guess);
  std::sort(kept.begin(), kept.end(), [](const Guess& a, const Guess& b) { return a.score > b.score; });
  if (kept.size() > kKept) kept.resize(kKept);
  return kept;
}

EllipseMap Scaled(const EllipseMap& map, double factor, double radius = 1) {
  EllipseMap out = map;
  out.center = {(map.center.x + 0.5) * factor - 0.5, (map.center.y + 0.5) * factor - 0.5};
  out.xx *= factor * radius, out.xy *= factor * radius, out.yy *= factor * radius;
  return out;
}

struct Pair {
  RingFit limbus, pupil;
  double score = 0;
};

double SupportOf(const RingFit& fit) { return fit.visible * std::min(1.0, fit.strength / (0.5 * kRingCap)); }

Pair FitPair(const cv::Mat& colors, const EllipseMap& limbus, const EllipseMap& pupil, double search) {
  Pair pair;
  RingFitOptions options;
  options.search = search;
  pair.pupil = FitRing(colors, pupil, RingKind::kPupil, options);
  options.inner = pair.pupil.map;
  pair.limbus = FitRing(colors, limbus, RingKind::kLimbus, options);
  const double size = 0.5 * (pair.limbus.map.xx + pair.limbus.map.yy);
  const double ratio = 0.5 * (pair.pupil.map.xx + pair.pupil.map.yy) / size;
  const double off = Distance(pair.limbus.map.center, pair.pupil.map.center) / size;
  pair.score = std::sqrt(SupportOf(pair.limbus) * SupportOf(pair.pupil));
  const double share = 2 * size / std::min(colors.cols, colors.rows);
  pair.score *= Usual(share, ratio, off);
  return pair;
}

EyeOutline OutlineOf(const RingFit& fit, double factor) {
  EyeOutline out;
  out.ellipse = EllipseOf(Scaled(fit.map, factor));
  out.visible = fit.visible;
  out.trust = std::clamp(SupportOf(fit) / 0.8, 0.0, 1.0);
  const double radius = 0.5 * out.ellipse.MeanDiameter();
  // One independent look in about 24 degrees; an edge read too far out or in is shared by the whole outline
  // (0.7 %).
  const double looks = std::max(3.0, 15.0 * fit.visible);
  out.center_sd = radius * fit.spread * std::sqrt(2 / looks) + 0.002 * radius;
  out.diameter_sd = 2 * radius * std::hypot(fit.spread / std::sqrt(looks), 0.007);
  return out;
}

Result<FoundEye> Found(const Pair& pair, double factor) {
  if (pair.score < 0.15)
    return Error{ErrorCode::kNotComputable,
                 "No eye could be found in this picture; mark the limbus by hand."};
  return FoundEye{OutlineOf(pair.limbus, factor), OutlineOf(pair.pupil, factor)};
}

// An eye is one ring within another: where hardly half of a pupil's edge is seen, or it leaves no iris, what
// looks like a limbus is anybody's circle (a face, a coin). On real frames and phantoms at least 0.65 is
// seen, and the pupil is at most 0.77 of the limbus.
double TrustInPair(const Pair& pair) {
  const double ratio = (pair.pupil.map.xx + pair.pupil.map.yy) / (pair.limbus.map.xx + pair.limbus.map.yy);
  return std::clamp((pair.pupil.visible - 0.4) / 0.2, 0.0, 1.0) * std::clamp((0.92 - ratio) / 0.08, 0.0, 1.0);
}

bool Usable(const cv::Mat& picture) {
  return picture.depth() == CV_8U && (picture.channels() == 1 || picture.channels() == 3) &&
         picture.cols >= 64 && picture.rows >= 64;
}

}  // namespace

FoundEye Enlarged(const FoundEye& eye, double factor) {
  FoundEye out = eye;
  for (EyeOutline* o : {&out.limbus, &out.pupil}) {
    o->ellipse = Enlarged(o->ellipse, factor);
    o->center_sd *= factor, o->diameter_sd *= factor;
  }
  return out;
}

Result<FoundEye> FindEye(const cv::Mat& picture, std::optional<PointPx> click,
                         const FindEyeOptions& options) {
  if (!Usable(picture)) return Error{ErrorCode::kBadCall, "The picture is too small to find an eye in."};
  if (click && !(click->x >= 0 && click->y >= 0 && click->x < picture.cols && click->y < picture.rows))
    return Error{ErrorCode::kBadCall, "The point given to find the pupil lies outside the picture."};
  const EyeColors coarse = EyeColorsOf(picture, kCoarseSide, 1.0);
  const EyeColors fine = EyeColorsOf(picture, options.working_side, 1.0);
  Pair best;
  for (const Guess& guess : CoarseGuesses(coarse, click, options)) {
    const double to_fine = coarse.factor / fine.factor;
    const Pair pair =
        FitPair(fine.channels, Scaled(guess.map, to_fine), Scaled(guess.map, to_fine, guess.pupil), 0.2);
    if (pair.score > best.score) best = pair;
  }
  AFTERSCOPE_ASSIGN(FoundEye eye, Found(best, fine.factor));
  eye.limbus.trust *= TrustInPair(best);
  return eye;
}

Result<FoundEye> FindEyeNear(const cv::Mat& picture, const FoundEye& near, const FindEyeOptions& options) {
  if (!Usable(picture)) return Error{ErrorCode::kBadCall, "The picture is too small to find an eye in."};
  const EyeColors fine = EyeColorsOf(picture, options.working_side, 1.0);
  const Pair pair = FitPair(fine.channels, Scaled(MapOf(near.limbus.ellipse), 1 / fine.factor),
                            Scaled(MapOf(near.pupil.ellipse), 1 / fine.factor), 0.12);
  return Found(pair, fine.factor);
}

}  // namespace afterscope
