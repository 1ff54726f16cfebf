// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_filter.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kFeatures = 3;
constexpr float kGradient = 10;  // gray levels a pixel: a gradient that counts half
constexpr float kContrast = 20;  // gray levels against the surroundings
constexpr double kPeakSd = 1.2;  // pixels: how wide "at the tip" is
constexpr double kRidge = 2.0;   // against overfitting, in units of one place's squared answer
constexpr int kIterations = 30;
constexpr double kUsualEnding = 0.5;   // of what the lessons have: less is held against a place ...
constexpr double kEndingWeight = 1.5;  // ... by this

using Planes = std::vector<cv::Mat>;

double Dot(const Planes& a, const Planes& b) {
  double sum = 0;
  for (std::size_t c = 0; c < a.size(); ++c) sum += a[c].dot(b[c]);
  return sum;
}

Planes Times(const Planes& a, const cv::Mat& b) {
  Planes out;
  for (const cv::Mat& plane : a) out.push_back(plane.mul(b));
  return out;
}

void AddScaled(Planes& to, double factor, const Planes& from) {
  for (std::size_t c = 0; c < to.size(); ++c) cv::scaleAdd(from[c], factor, to[c], to[c]);
}

cv::Mat Spectrum(const cv::Mat& plane, cv::Size size) {
  cv::Mat padded = cv::Mat::zeros(size, CV_32F), out;
  plane.copyTo(padded(cv::Rect({0, 0}, plane.size())));
  cv::dft(padded, out, 0, plane.rows);
  return out;
}

// The lags of a circular correlation around zero.
cv::Mat Lags(const cv::Mat& circular, cv::Size patch) {
  const int w = patch.width - 1, h = patch.height - 1;
  cv::Mat out(2 * h + 1, 2 * w + 1, CV_32F);
  for (int y = -h; y <= h; ++y)
    for (int x = -w; x <= w; ++x)
      out.at<float>(y + h, x + w) =
          circular.at<float>((y + circular.rows) % circular.rows, (x + circular.cols) % circular.cols);
  return out;
}

// Applies "answer everywhere, then what each weight contributed" without going through the places again.
class Together {
 public:
  Together(const std::vector<WeightedLesson>& lessons, const TipFilterShape& shape) : patch_(shape.patch) {
    size_ = {cv::getOptimalDFTSize(3 * patch_.width), cv::getOptimalDFTSize(3 * patch_.height)};
    for (std::size_t ij = 0; ij < kFeatures * kFeatures; ++ij) {
      cv::Mat sum = cv::Mat::zeros(2 * patch_.height - 1, 2 * patch_.width - 1, CV_32F);
      for (const WeightedLesson& l : lessons) cv::scaleAdd(l.lesson->together[ij], l.weight, sum, sum);
      spectra_.push_back(Spectrum(sum, size_));
    }
  }
  Planes operator()(const Planes& w) const {
    Planes spectra, out;
    for (const cv::Mat& plane : w) spectra.push_back(Spectrum(plane, size_));
    for (std::size_t i = 0; i < kFeatures; ++i) {
      cv::Mat sum = cv::Mat::zeros(size_, CV_32F), one;
      for (std::size_t j = 0; j < kFeatures; ++j) {
        cv::mulSpectrums(spectra_[i * kFeatures + j], spectra[j], one, 0);
        sum += one;
      }
      cv::Mat back;
      cv::idft(sum, back, cv::DFT_SCALE | cv::DFT_REAL_OUTPUT);
      out.push_back(back(cv::Rect({patch_.width - 1, patch_.height - 1}, patch_)).clone());
    }
    return out;
  }

 private:
  cv::Size patch_, size_;
  std::vector<cv::Mat> spectra_;
};

// How much more edge runs along x behind each place (that of the tip's pixel) than past it: mean of 0 to 1.
cv::Mat Endings(const Planes& features, double px_per_mm) {
  cv::Mat along = features[1].mul(features[1]) - features[0].mul(features[0]);
  cv::max(along, 0, along);
  const auto px = [&](double mm) { return std::max(1, static_cast<int>(std::lround(mm * px_per_mm))); };
  const cv::Size behind(px(1.2), px(0.9)), past(px(0.8), px(0.9));
  cv::Mat in_behind, in_past;
  cv::boxFilter(along, in_behind, CV_32F, behind, {0, -1});
  cv::boxFilter(along, in_past, CV_32F, past, {past.width - 1, -1});
  // The boxes start at the place and end at it; moved apart so that the tip's own end counts for neither.
  cv::Mat out = cv::Mat::zeros(along.size(), CV_32F);
  const int gap_behind = px(0.3), gap_past = px(0.25);
  for (int y = 0; y < out.rows; ++y)
    for (int x = gap_past; x + gap_behind < out.cols; ++x)
      out.at<float>(y, x) = in_behind.at<float>(y, x + gap_behind) - in_past.at<float>(y, x - gap_past);
  return out;
}

}  // namespace

std::vector<cv::Mat> TipFeatures(const cv::Mat& gray) {
  std::vector<cv::Mat> out(kFeatures);
  cv::Mat light, around;
  gray.convertTo(light, CV_32F);
  cv::Sobel(light, out[0], CV_32F, 1, 0, 3, 0.25);
  cv::Sobel(light, out[1], CV_32F, 0, 1, 3, 0.25);
  cv::boxFilter(light, around, CV_32F, {25, 25});
  out[2] = light - around;
  for (int y = 0; y < gray.rows; ++y) {
    auto* gx = out[0].ptr<float>(y);
    auto* gy = out[1].ptr<float>(y);
    auto* l = out[2].ptr<float>(y);
    for (int x = 0; x < gray.cols; ++x) {
      const float squeeze = 1 / (std::sqrt(gx[x] * gx[x] + gy[x] * gy[x]) + kGradient);
      gx[x] *= squeeze, gy[x] *= squeeze;
      l[x] *= 0.5F / (std::abs(l[x]) + kContrast);
    }
  }
  return out;
}

TipLesson LessonOf(const cv::Mat& part, std::optional<cv::Point2d> tip, const TipFilterShape& shape) {
  const Planes features = TipFeatures(part);
  const cv::Size size(cv::getOptimalDFTSize(part.cols + shape.patch.width),
                      cv::getOptimalDFTSize(part.rows + shape.patch.height));
  Planes spectra;
  for (const cv::Mat& plane : features) spectra.push_back(Spectrum(plane, size));
  TipLesson lesson;
  // together_ij(d) = sum over places q of f_i(q + d) f_j(q): what weight j at p' adds to the equation of
  // weight i at p = p' + d. The patch's own edge is neglected.
  for (std::size_t i = 0; i < kFeatures; ++i)
    for (std::size_t j = 0; j < kFeatures; ++j) {
      cv::Mat product, circular;
      cv::mulSpectrums(spectra[i], spectra[j], product, 0, true);
      cv::idft(product, circular, cv::DFT_SCALE | cv::DFT_REAL_OUTPUT);
      lesson.together.push_back(Lags(circular, shape.patch));
    }
  if (!tip) return lesson;
  const cv::Point2f middle(static_cast<float>(tip->x - shape.tip.x + 0.5 * (shape.patch.width - 1)),
                           static_cast<float>(tip->y - shape.tip.y + 0.5 * (shape.patch.height - 1)));
  const cv::Mat endings = Endings(features, shape.px_per_mm);
  const int x = std::clamp(cvRound(tip->x), 0, part.cols - 1),
            y = std::clamp(cvRound(tip->y), 0, part.rows - 1);
  lesson.ending = endings.at<float>(y, x);
  for (const cv::Mat& plane : features) {
    cv::Mat blurred, at, near;
    cv::GaussianBlur(plane, blurred, {}, kPeakSd);
    cv::getRectSubPix(plane, shape.patch, middle, at);
    cv::getRectSubPix(blurred, shape.patch, middle, near);
    lesson.at_tip.push_back(at);
    lesson.near_tip.push_back(near);
  }
  return lesson;
}

TipFilter::TipFilter(const std::vector<WeightedLesson>& lessons, const TipFilterShape& shape)
    : shape_(shape) {
  const Together together(lessons, shape);
  // Weights are likely * v, so that the ridge on v holds back what is expected not to matter.
  Planes v(kFeatures), right(kFeatures);
  for (std::size_t c = 0; c < kFeatures; ++c)
    v[c] = cv::Mat::zeros(shape.patch, CV_32F), right[c] = cv::Mat::zeros(shape.patch, CV_32F);
  for (const WeightedLesson& l : lessons)
    if (!l.lesson->at_tip.empty()) AddScaled(right, l.weight, Times(l.lesson->near_tip, shape.likely));
  Planes rest, step;
  for (const cv::Mat& plane : right) rest.push_back(plane.clone()), step.push_back(plane.clone());
  double size = Dot(rest, rest);
  for (int i = 0; i < kIterations && size > 1e-9; ++i) {
    Planes applied = Times(together(Times(step, shape.likely)), shape.likely);
    AddScaled(applied, kRidge, step);
    const double along = size / std::max(Dot(step, applied), 1e-12);
    AddScaled(v, along, step);
    AddScaled(rest, -along, applied);
    const double next = Dot(rest, rest);
    for (std::size_t c = 0; c < kFeatures; ++c) cv::scaleAdd(step[c], next / size, rest[c], step[c]);
    size = next;
  }
  weights_ = Times(v, shape.likely);
  // The ridge makes answers small: scaled so that the lessons' own tips get 1 on average.
  double own = 0, tips = 0;
  for (const WeightedLesson& l : lessons)
    if (!l.lesson->at_tip.empty()) {
      own += l.weight * Dot(l.lesson->at_tip, weights_), tips += l.weight;
      ending_ += l.weight * l.lesson->ending;
    }
  if (tips > 0) ending_ /= tips;
  if (tips > 0 && own > 1e-9)
    for (cv::Mat& plane : weights_) plane *= tips / own;
}

TipFilter::Ready TipFilter::ReadyFor(cv::Size part) const {
  // What wraps round falls where the patch would stick out, which nobody asks for.
  Ready ready{part, {cv::getOptimalDFTSize(part.width), cv::getOptimalDFTSize(part.height)}, {}};
  for (const cv::Mat& plane : weights_) ready.spectra.push_back(Spectrum(plane, ready.dft));
  return ready;
}

cv::Mat TipFilter::Answer(const cv::Mat& part, const Ready& ready) const {
  const Planes features = TipFeatures(part);
  cv::Mat sum, one, answer;
  for (std::size_t c = 0; c < features.size(); ++c) {
    cv::mulSpectrums(Spectrum(features[c], ready.dft), ready.spectra[c], c == 0 ? sum : one, 0, true);
    if (c > 0) sum += one;
  }
  cv::idft(sum, answer, cv::DFT_SCALE | cv::DFT_REAL_OUTPUT);
  const cv::Size patch = weights_[0].size();
  const cv::Rect inside(0, 0, part.cols - patch.width + 1, part.rows - patch.height + 1);
  cv::Mat lacking = Endings(features, shape_.px_per_mm)(inside + shape_.tip) - kUsualEnding * ending_;
  cv::min(lacking, 0, lacking);
  return answer(inside) + kEndingWeight * lacking;
}

}  // namespace afterscope
