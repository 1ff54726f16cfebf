// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/measure.hpp"
#include "metrics/eye/eye_summary.hpp"
#include "metrics/scale/corneal_factor.hpp"
#include "metrics/scale/scale.hpp"
#include "tests/annotate/jobs/coverage/coverage_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>

// Eyes that move, turn, tilt and are zoomed as nobody measures them, followed with the errors that limits
// take (EyeErrors); geometry only.
namespace afterscope::coverage {
namespace {

using std::numbers::pi;

constexpr int kFrames = 600, kSightEvery = 5;  // 60 s at ten frames a second, two sights a second
constexpr double kSecond = 10;                 // frames
constexpr double kWidth = 1280, kHeight = 720;
constexpr double kOwnSqueezeSd = 0.003, kOwnZoomSd = 0.0005, kCentreSdPx = 0.55, kDiameterSd = 0.0072;

// A sum of slow waves.
class Wandering {
 public:
  Wandering(RandomBits& random, double middle_sd, double size, double fastest_hz)
      : middle_(Normal(random, 0, middle_sd)) {
    for (Wave& w : waves_)
      w = {Even(random, 0.02, fastest_hz), Normal(random, 0, size / 2), Even(random, 0, 2 * pi)};
  }
  double At(int frame) const {
    double out = middle_;
    for (const Wave& w : waves_) out += w.size * std::sin(2 * pi * w.hz * frame / kSecond + w.phase);
    return out;
  }

 private:
  struct Wave {
    double hz = 0, size = 0, phase = 0;
  };
  double middle_;
  std::array<Wave, 4> waves_;
};

double RankedAt(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(std::lround(share * static_cast<double>(values.size() - 1)))];
}

// What is true frame by frame.
struct TrueFrames {
  std::vector<PointMm> off;  // of the limbus' centre from the picture's, mm at the cornea
  std::vector<double> turn, zoom, pupil, sharp;
  std::vector<OffsetMm> tilted;  // squeeze that a tilt adds
  double zoomed = 1;
};

TrueFrames DrawFrames(RandomBits& random) {
  TrueFrames out;
  const double still = Even(random, 0, 1) < 0.2 ? 0.1 : 1;
  const Wandering x(random, 1.3, 0.4 * still, 0.5), y(random, 1.3, 0.4 * still, 0.5);
  const Wandering turn(random, 1, Even(random, 0, 2) * still, 0.3);
  const double tilts = Even(random, 0, 0.04);
  const Wandering tx(random, 0, tilts, 0.05), ty(random, 0, tilts, 0.05);
  const double width = Even(random, 5, 7.5), narrows = Even(random, 0, 1.5);
  const Wandering breath(random, 0, 0.1, 0.2), light(random, 0, 0.05, 0.1);
  out.zoomed = Even(random, 0, 1) < 0.5 ? 1 : std::exp(Even(random, -0.35, 0.35));
  const double zooms_at = Even(random, 100, 500);
  std::vector<std::pair<double, double>> lost;
  for (int n = std::uniform_int_distribution<int>(0, 3)(random); n > 0; --n)
    lost.emplace_back(Even(random, 0, kFrames), Even(random, 10, 80));
  const double left = Even(random, 0.25, 0.6);
  for (int i = 0; i < kFrames; ++i) {
    out.off.push_back({x.At(i), y.At(i)});
    out.turn.push_back(turn.At(i) - turn.At(0));
    out.tilted.push_back({tx.At(i) - tx.At(0), ty.At(i) - ty.At(0)});
    out.zoom.push_back(std::pow(out.zoomed, std::clamp((i - zooms_at) / 10, 0.0, 1.0)));
    out.pupil.push_back(width - narrows * i / kFrames + breath.At(i));
    double sharp = 0.2 * (1 + light.At(i));
    for (const auto& [at, lasts] : lost) {
      const double in = std::clamp(std::min(i - at, at + lasts - i) / 6, 0.0, 1.0);
      sharp *= 1 - (1 - left) * in;
    }
    out.sharp.push_back(sharp);
  }
  return out;
}

struct DrawnEye {
  CaseRecord record;
  double cornea = 11.71, capsule = 1, px_per_mm = 50;
};

DrawnEye DrawFollowedEye(RandomBits& random, bool measured) {
  DrawnEye out;
  out.record.eye = Eye::kRight;
  out.record.seat_clock_hour = 12;
  out.record.recordings.push_back(
      {"r.mp4",
       {},
       {{1, 10}, {0}, {kFrames}, static_cast<int>(kWidth), static_cast<int>(kHeight), {1, 1}, 0, true}});
  CorneaFacts facts;
  if (measured) {
    facts = {Even(random, 41, 46), Even(random, 2.6, 3.7)};
    out.record.corneal_power_d = facts.power_d;
    out.record.chamber_depth_mm = facts.chamber_depth_mm;
    out.record.corneal_diameter_mm = Even(random, 11, 12.5);
    out.cornea = Normal(random, *out.record.corneal_diameter_mm, kMeasuredCornealDiameterSd);
  } else {
    out.cornea = Normal(random, kPopulationCornealDiameter.mm, kPopulationCornealDiameter.sd);
  }
  const PlaneFactor capsule = FactorAt(Plane::kCapsule, facts);
  out.capsule = Normal(random, capsule.value, capsule.sd);
  out.px_per_mm = Even(random, 22, 50);
  return out;
}

EyeEllipse SqueezedCircle(PointPx centre, double diameter, OffsetMm squeeze, double turn_deg) {
  const double k = squeeze.Length() / 2;
  EyeEllipse out{centre, diameter / 2 * std::exp(k), diameter / 2 * std::exp(-k), {}};
  out.angle = Angle::Degrees(std::atan2(squeeze.y, squeeze.x) * 90 / pi + turn_deg);
  return out;
}

// As it is followed.
FollowedEye FollowWithErrors(RandomBits& random, const DrawnEye& eye, const TrueFrames& truth,
                             double limbus_mm) {
  const EyeErrors errors;
  FollowedEye out;
  out.range = {{0}, {kFrames}};
  out.complete = true;
  const OffsetPx shifted{Normal(random, 0, kCentreSdPx), Normal(random, 0, kCentreSdPx)};
  const double limbus_px = limbus_mm * eye.px_per_mm, read = limbus_px * (1 + Normal(random, 0, kDiameterSd));
  const OffsetMm oval{0.06, 0},
      reference_off{Normal(random, 0, errors.squeeze), Normal(random, 0, errors.squeeze)};
  const double pupil_read = 1 + Normal(random, 0, errors.pupil);
  const double zoom_read[] = {Normal(random, 0, errors.zoom), Normal(random, 0, errors.zoom)};
  double slow = 0;
  const auto place = [&](int i) {
    const auto at = static_cast<std::size_t>(i);
    const double k = eye.px_per_mm * truth.zoom[at];
    return PointPx{(kWidth - 1) / 2 + k * truth.off[at].x, (kHeight - 1) / 2 + k * truth.off[at].y} +
           truth.zoom[at] * shifted;
  };
  out.reference_eye.limbus = {SqueezedCircle(place(0), read, oval + reference_off, 0), kCentreSdPx,
                              kDiameterSd * limbus_px, 1, 1};
  for (int i = 0; i < kFrames; ++i) {
    const auto at = static_cast<std::size_t>(i);
    if (i % static_cast<int>(kSecond * errors.slow_seconds) == 0)
      slow = Normal(random, 0, errors.slow_turn_deg);
    EyePose pose;
    pose.origin = place(i);
    pose.trust = 1;
    const bool before = truth.zoom[at] == 1;
    pose.zoom = truth.zoom[at] * (1 + zoom_read[before ? 0 : 1] + Normal(random, 0, kOwnZoomSd));
    const double turned = truth.turn[at] + slow + Normal(random, 0, errors.turn_deg);
    pose.turn = Angle::Degrees(turned);
    out.frames.push_back({{0, {i}}, pose});
    if (i % kSightEvery != 0) continue;
    EyeSight sight{{0, {i}}, {}, truth.sharp[at] * (1 + Normal(random, 0, errors.sharpness))};
    const OffsetMm own{Normal(random, 0, kOwnSqueezeSd), Normal(random, 0, kOwnSqueezeSd)};
    sight.eye.limbus = {
        SqueezedCircle(place(i), read * truth.zoom[at], oval + truth.tilted[at] + own, turned), kCentreSdPx,
        kDiameterSd * limbus_px, 1, 1};
    const double pupil = truth.pupil[at] * eye.capsule * eye.px_per_mm * truth.zoom[at] * pupil_read *
                         (1 + Normal(random, 0, errors.own_pupil));
    sight.eye.pupil = {SqueezedCircle(place(i), pupil, {}, 0), kCentreSdPx, 0.0075 * pupil, 1, 1};
    out.sights.push_back(sight);
  }
  return out;
}

double LargestTrueTilt(const TrueFrames& truth) {
  std::map<long, std::pair<OffsetMm, int>> sums;
  for (int i = 0; i < kFrames; i += kSightEvery) {
    auto& [sum, count] = sums[std::lround(i / kSecond / 5)];
    sum = sum + truth.tilted[static_cast<std::size_t>(i)];
    ++count;
  }
  double most = 0;
  for (const auto& [number, stretch] : sums)
    if (stretch.second >= 5) most = std::max(most, (stretch.first / stretch.second).Length());
  return std::acos(std::exp(-most)) * 180 / pi;
}

void AddFollowedEye(RandomBits& random, bool measured, unsigned seed, Tally& tally) {
  const DrawnEye eye = DrawFollowedEye(random, measured);
  const TrueFrames truth = DrawFrames(random);
  TrueOutline limbus{{0, 0}, eye.cornea / 2 / 1.03, {}, {}};
  limbus.cosine[2] = 0.03;
  const double limbus_mm = 2 * std::sqrt(MeasuresOf(limbus).area / pi);
  Review review;
  const View view{
      {(kWidth - 1) / 2 + eye.px_per_mm * truth.off[0].x, (kHeight - 1) / 2 + eye.px_per_mm * truth.off[0].y},
      eye.px_per_mm};
  review.marks = {MarkOutline(random, "limbus", MarkKind::kLimbus, {0, {0}}, limbus, view, 24)};
  review.visits = {{VisitId{"v1"}, "rhexis", 0, {0, {0}}, FrameRef{0, {kFrames / 2}}, "", false}};
  Followed followed;
  followed.eyes = {FollowWithErrors(random, eye, truth, limbus_mm)};
  followed.eyes[0].input_digest = EyeDigest(eye.record, followed.eyes[0]);
  MeasureOptions options;
  options.simulations = 400;
  options.seed = seed;
  const auto findings = MeasureReview(eye.record, review, {}, options, followed);

  double away = 0, off = 0, sharp = 0;
  const double limit = 0.7 * RankedAt(truth.sharp, 0.9);
  for (std::size_t i = 0; i < kFrames; ++i) {
    const double mm = Distance(truth.off[i], PointMm{});
    away += mm / kFrames;
    off += mm > limbus_mm / 4 ? 1.0 / kFrames : 0;
    sharp += truth.sharp[i] > limit ? 1.0 / kFrames : 0;
  }
  const auto add = [&](const std::string& name, double value) {
    tally.Add(name, ValueOf(findings, name), value);
  };
  add("eye.off_centre", away);
  add("eye.off_centre_share", off);
  add("eye.focus_share", sharp);
  add("eye.turn_range", RankedAt(truth.turn, 0.99) - RankedAt(truth.turn, 0.01));
  add("eye.tilt_change", LargestTrueTilt(truth));
  const bool changes = std::abs(std::log(truth.zoomed)) > std::log(1.03);
  add("eye.zoom_changes", changes ? 1 : 0);
  if (changes && ValueOf(findings, "eye.zoom_changes")->value == 1) add("eye.zoom_change", truth.zoomed);
  add("pupil.followed_least", RankedAt(truth.pupil, 0.05));
  add("pupil.step_least", RankedAt({truth.pupil.begin(), truth.pupil.begin() + kFrames / 2}, 0.05));
}

Tally TallyEyes(int eyes, bool measured) {
  RandomBits random(measured ? 41 : 42);
  Tally tally;
  for (int i = 0; i < eyes; ++i) AddFollowedEye(random, measured, static_cast<unsigned>(i) + 1, tally);
  return tally;
}

void CheckEyes(const Tally& tally) {
  CHECK(tally.OutsideContinuous({"eye.off_centre", "eye.turn_range", "eye.zoom_change"}) == "");
  CHECK(tally.BelowLeast({"eye.off_centre_share", "eye.focus_share", "eye.tilt_change", "eye.zoom_changes",
                          "pupil.followed_least", "pupil.step_least"}) == "");
}

}  // namespace

TEST_CASE("Limits of what is found of a followed eye hold the truth: a small sample", "[jobs][coverage]") {
  for (const bool measured : {false, true}) CheckEyes(TallyEyes(kFew, measured));
}

TEST_CASE("Limits of what is found of a followed eye hold the truth in 93 to 97 of 100 eyes", "[.coverage]") {
  for (const bool measured : {false, true}) {
    const Tally tally = TallyEyes(kMany, measured);
    fmt::print("{}\n{}", measured ? "eyes that were measured" : "eyes as the population's", tally.Text());
    CheckEyes(tally);
  }
}

}  // namespace afterscope::coverage
