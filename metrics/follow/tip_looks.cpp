// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_looks.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kApartMm = 0.33;
constexpr double kLearnMm = 2.5;      // what lies within that of a learnt tip, and isn't it, counts twice
constexpr std::size_t kOthers = 8;    // how many of the latest looks are learnt from too ...
constexpr double kOtherWeight = 1.0;  // ... with this weight

// Local maxima of a response, best first.
struct Peak {
  cv::Point at;
  float value;
};
std::vector<Peak> Peaks(const cv::Mat& response, int reach, std::size_t most) {
  cv::Mat widest;
  cv::dilate(response, widest, cv::getStructuringElement(cv::MORPH_RECT, {2 * reach + 1, 2 * reach + 1}));
  std::vector<Peak> peaks;
  for (int y = 0; y < response.rows; ++y) {
    const auto* r = response.ptr<float>(y);
    const auto* w = widest.ptr<float>(y);
    for (int x = 0; x < response.cols; ++x)
      if (r[x] == w[x] && r[x] > 0) peaks.push_back({{x, y}, r[x]});
  }
  std::sort(peaks.begin(), peaks.end(), [](const Peak& a, const Peak& b) { return a.value > b.value; });
  if (peaks.size() > most) peaks.resize(most);
  return peaks;
}

double Vertex(double before, double here, double after) {
  const double bend = before - 2 * here + after;
  return bend < 0 ? std::clamp(0.5 * (before - after) / bend, -0.5, 0.5) : 0;
}

// A picture made smaller by a whole factor and smoothed, so that it can be read at `scale`.
struct Shrunk {
  cv::Mat picture;
  int factor = 1;
  PointPx Of(PointPx p) const { return {(p.x + 0.5) / factor - 0.5, (p.y + 0.5) / factor - 0.5}; }
};

Shrunk ShrunkFor(double scale, const cv::Mat& picture) {
  Shrunk out{picture, std::max(1, static_cast<int>(0.75 / scale))};
  if (out.factor > 1) {
    const cv::Size size(picture.cols / out.factor, picture.rows / out.factor);
    if (size.empty()) return {picture, 1};
    cv::resize(picture(cv::Rect({0, 0}, size * out.factor)), out.picture, size, 0, 0, cv::INTER_AREA);
  }
  const double left = scale * out.factor;
  if (left >= 0.75) return out;
  cv::Mat smooth;  // never in place: the picture is somebody else's
  cv::GaussianBlur(out.picture, smooth, {}, 0.4 / left);
  out.picture = smooth;
  return out;
}

// The answers of the filter to a part of the picture, turned.
struct Turn {
  Angle shaft;
  cv::Mat answer;
};

struct Found {
  TipCandidate candidate;
  std::size_t turn;
  cv::Point at;  // in that turn's answer
};

double BestNear(const cv::Mat& answer, cv::Point at) {
  double best = -1;
  for (int y = std::max(0, at.y - 1); y <= std::min(answer.rows - 1, at.y + 1); ++y)
    for (int x = std::max(0, at.x - 1); x <= std::min(answer.cols - 1, at.x + 1); ++x)
      best = std::max<double>(best, answer.at<float>(y, x));
  return best;
}

void KeepApart(std::vector<Found>& all, double apart, std::size_t most) {
  std::sort(all.begin(), all.end(), [](const Found& a, const Found& b) {
    return a.candidate.evidence.score > b.candidate.evidence.score;
  });
  std::vector<Found> kept;
  for (const Found& c : all) {
    const bool taken = std::any_of(kept.begin(), kept.end(), [&](const Found& k) {
      return Distance(k.candidate.pose.tip, c.candidate.pose.tip) < apart;
    });
    if (!taken) kept.push_back(c);
    if (kept.size() == most) break;
  }
  all = std::move(kept);
}

}  // namespace

TipLooks::TipLooks(double px_per_mm, const TipLookOptions& options)
    : px_per_mm_(px_per_mm), options_(options), scale_(std::min(1.0, options.px_per_mm / px_per_mm)) {
  const double at = px_per_mm_ * scale_;
  const cv::Size patch = options_.shape.SizeAt(at);
  const cv::Point tip = options_.shape.TipAt(at);
  // The band of the shaft matters most, its far end and its sides less.
  cv::Mat likely(patch, CV_32F);
  for (int y = 0; y < patch.height; ++y)
    for (int x = 0; x < patch.width; ++x) {
      const double side = (y - tip.y) / at / 0.45, along = std::max(0, x - tip.x) / at / 1.8;
      likely.at<float>(y, x) = static_cast<float>(std::exp(-0.5 * (side * side + along * along)) + 0.03);
    }
  filter_shape_ = {patch, tip, likely, at};
}

std::size_t TipLooks::Learn(const cv::Mat& picture, const TipPose& pose, const TipRegion& region, double zoom,
                            std::optional<std::size_t> instead_of) {
  const double scale = scale_ / zoom;
  const Shrunk smooth = ShrunkFor(scale, picture);
  const auto part = [&](PointPx at, double turned, double around_px) {
    const int around = std::max(4, static_cast<int>(std::lround(around_px * scale)));
    const cv::Size size(2 * around + filter_shape_.patch.width, 2 * around + filter_shape_.patch.height);
    const cv::Point2d center(around + filter_shape_.tip.x, around + filter_shape_.tip.y);
    return Turned(smooth.picture, smooth.Of(at), pose.shaft + Angle::Degrees(turned), scale * smooth.factor,
                  center, size);
  };
  const int rim = std::max(4, static_cast<int>(std::lround(region.radius_px * scale)));
  const cv::Point2d middle(rim + filter_shape_.tip.x, rim + filter_shape_.tip.y);
  const OffsetPx off = scale * (pose.tip - region.center);
  const double c = std::cos(pose.shaft.radians()), s = std::sin(pose.shaft.radians());
  const cv::Point2d tip(middle.x + c * off.x + s * off.y, middle.y - s * off.x + c * off.y);
  TipLesson lesson = LessonOf(part(region.center, 0, region.radius_px), tip, filter_shape_);
  TipLesson others;
  for (const double turned : {-3.0, 3.0}) {
    TipLesson more = LessonOf(part(pose.tip, turned * options_.angle_step_deg, kLearnMm * px_per_mm_ * zoom),
                              {}, filter_shape_);
    if (others.together.empty())
      others = std::move(more);
    else
      for (std::size_t i = 0; i < others.together.size(); ++i) others.together[i] += more.together[i];
  }
  const std::size_t look = instead_of.value_or(tips_.size());
  if (look == tips_.size()) {
    tips_.push_back(std::move(lesson)), others_.push_back(std::move(others));
  } else {
    tips_[look] = std::move(lesson), others_[look] = std::move(others);
  }
  return look;
}

TipFilter TipLooks::FilterFor(const std::vector<std::size_t>& by, std::optional<std::size_t> but) const {
  std::vector<WeightedLesson> lessons;
  const std::size_t first = tips_.size() > kOthers ? tips_.size() - kOthers : 0;
  for (const std::size_t i : by) lessons.push_back({&tips_[i], 1}), lessons.push_back({&others_[i], 0.5});
  for (std::size_t i = first; i < tips_.size(); ++i)
    if (i != but && std::find(by.begin(), by.end(), i) == by.end())
      lessons.push_back({&tips_[i], kOtherWeight});
  return {lessons, filter_shape_};
}

std::vector<TipCandidate> TipLooks::Look(const cv::Mat& picture, const TipRegion& region,
                                         const TipFilter& filter, double zoom) const {
  const double scale = scale_ / zoom;
  const double at = px_per_mm_ * scale_;
  const cv::Point tip = options_.shape.TipAt(at);
  const cv::Size patch = options_.shape.SizeAt(at);
  const int reach = std::max(2, static_cast<int>(std::ceil(region.radius_px * scale)));
  const cv::Size size(2 * reach + patch.width, 2 * reach + patch.height);
  const cv::Point2d center(reach + tip.x, reach + tip.y);
  // Only what will be read.
  const int wide = static_cast<int>(std::hypot(size.width, size.height) / scale) + 8;
  const cv::Rect frame(0, 0, picture.cols, picture.rows);
  const cv::Rect crop = cv::Rect(static_cast<int>(region.center.x) - wide,
                                 static_cast<int>(region.center.y) - wide, 2 * wide, 2 * wide) &
                        frame;
  if (crop.empty()) return {};
  const PointPx origin{region.center.x - crop.x, region.center.y - crop.y};
  const Shrunk smooth = ShrunkFor(scale, picture(crop));
  const int steps = std::max(1, static_cast<int>(std::ceil(region.span.degrees() / options_.angle_step_deg)));
  const TipFilter::Ready ready = filter.ReadyFor(size);
  std::vector<Turn> turns;
  for (int k = -steps; k <= steps; ++k) {
    const Angle shaft = region.shaft + Angle::Degrees(k * options_.angle_step_deg);
    turns.push_back({shaft, filter.Answer(Turned(smooth.picture, smooth.Of(origin), shaft,
                                                 scale * smooth.factor, center, size),
                                          ready)});
  }
  std::vector<Found> all;
  for (std::size_t k = 0; k < turns.size(); ++k)
    for (const Peak& peak : Peaks(turns[k].answer, 2, options_.candidates)) {
      const cv::Point2d q(peak.at.x + tip.x, peak.at.y + tip.y);
      if (std::hypot(q.x - center.x, q.y - center.y) > reach) continue;
      all.push_back({{{FromTurned(region.center, turns[k].shaft, scale, center, q), turns[k].shaft},
                      {false, peak.value}},
                     k,
                     peak.at});
    }
  KeepApart(all, kApartMm * px_per_mm_ * zoom, options_.candidates);
  std::vector<TipCandidate> out;
  for (Found& f : all) {
    const cv::Mat& answer = turns[f.turn].answer;
    cv::Point2d q(f.at.x + tip.x, f.at.y + tip.y);
    if (f.at.x > 0 && f.at.x + 1 < answer.cols)
      q.x += Vertex(answer.at<float>(f.at.y, f.at.x - 1), f.candidate.evidence.score,
                    answer.at<float>(f.at.y, f.at.x + 1));
    if (f.at.y > 0 && f.at.y + 1 < answer.rows)
      q.y += Vertex(answer.at<float>(f.at.y - 1, f.at.x), f.candidate.evidence.score,
                    answer.at<float>(f.at.y + 1, f.at.x));
    f.candidate.pose.tip = FromTurned(region.center, turns[f.turn].shaft, scale, center, q);
    if (f.turn > 0 && f.turn + 1 < turns.size()) {
      const auto beside = [&](std::size_t turn) {  // the answer one turn to the side
        const cv::Point2d p = ToTurned(region.center, turns[turn].shaft, scale, center, f.candidate.pose.tip);
        return BestNear(turns[turn].answer, {cvRound(p.x) - tip.x, cvRound(p.y) - tip.y});
      };
      f.candidate.pose.shaft =
          f.candidate.pose.shaft +
          Angle::Degrees(options_.angle_step_deg *
                         Vertex(beside(f.turn - 1), f.candidate.evidence.score, beside(f.turn + 1)));
    }
    out.push_back(f.candidate);
  }
  return out;
}

}  // namespace afterscope
