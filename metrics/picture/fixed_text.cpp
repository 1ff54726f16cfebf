// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/fixed_text.hpp"

#include "metrics/picture/mat_view.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kBlock = 8;             // pixels, a side
constexpr double kHardEdge = 60;      // change of lightness over two pixels; what is filmed is softer
constexpr double kLeastShare = 0.06;  // of a block's pixels on hard edges, in every picture
constexpr int kLeastPictures = 8;
constexpr int kLeastBlocks = 3;        // of an area
constexpr int kGapBlocks = 3;          // between letters and words of a line
constexpr double kMargin = kBlock;     // pixels around an area
constexpr double kMostBeside = 0.05;   // of the picture's width, more of it to the left and right
constexpr int kStrokeBlocks = 3;       // in which a stroke's two edges lie
constexpr double kLeastBalance = 0.3;  // of edges up in lightness to edges down: a stroke has as many of both
constexpr double kMostHeight = 0.35;   // of the picture
constexpr double kLeastFilled = 0.2;   // of an area's blocks

}  // namespace

struct FixedTextFinder::State {
  cv::Size size;
  // CV_32F, one value a block: the least share of hard edges so far, and of those from left to right that
  // grow lighter and darker, of the blocks around too.
  cv::Mat least, lighter, darker;
  int count = 0;
};

FixedTextFinder::FixedTextFinder() : state_(std::make_unique<State>()) {}
FixedTextFinder::~FixedTextFinder() = default;
FixedTextFinder::FixedTextFinder(FixedTextFinder&&) noexcept = default;
FixedTextFinder& FixedTextFinder::operator=(FixedTextFinder&&) noexcept = default;

namespace {

// The share of set pixels of each block.
cv::Mat ShareOf(const cv::Mat& set) {
  cv::Mat share;
  set.convertTo(share, CV_32F, 1 / 255.0);
  share = share(cv::Rect(0, 0, set.cols / kBlock * kBlock, set.rows / kBlock * kBlock));
  cv::resize(share, share, {set.cols / kBlock, set.rows / kBlock}, 0, 0, cv::INTER_AREA);
  return share;
}

void KeepLeast(cv::Mat& least, const cv::Mat& now) {
  if (least.empty())
    least = now;
  else
    cv::min(least, now, least);
}

cv::Mat OfNeighbours(cv::Mat share) {
  cv::blur(share, share, {kStrokeBlocks, 1}, {-1, -1}, cv::BORDER_REPLICATE);
  return share;
}

// The letters at the ends may have had a bright ground behind them in one picture: about one on each side.
double MarginBeside(const cv::Rect& box, int picture_width) {
  return kMargin + std::min<double>(box.height * kBlock, kMostBeside * picture_width);
}

}  // namespace

void FixedTextFinder::Add(const Picture& picture) {
  const cv::Mat light = LightnessOf(picture);
  if (light.cols < kBlock || light.rows < kBlock || (state_->count > 0 && light.size() != state_->size))
    return;
  cv::Mat across, down;
  const cv::Mat kernel = (cv::Mat_<float>(1, 3) << -1, 0, 1);
  cv::filter2D(light, across, CV_32F, kernel);
  cv::filter2D(light, down, CV_32F, kernel.t());
  KeepLeast(state_->least, ShareOf((cv::abs(across) >= kHardEdge) | (cv::abs(down) >= kHardEdge)));
  KeepLeast(state_->lighter, OfNeighbours(ShareOf(across >= kHardEdge)));
  KeepLeast(state_->darker, OfNeighbours(ShareOf(across <= -kHardEdge)));
  state_->size = light.size();
  ++state_->count;
}

int FixedTextFinder::count() const { return state_->count; }

std::vector<TextArea> FixedTextFinder::Find() const {
  std::vector<TextArea> areas;
  if (state_->count < kLeastPictures) return areas;
  cv::Mat fewer, more;
  cv::min(state_->lighter, state_->darker, fewer);
  cv::max(state_->lighter, state_->darker, more);
  const cv::Mat sharp = (state_->least >= kLeastShare) & (fewer >= kLeastBalance * more) & (more > 0);
  cv::Mat joined;
  cv::dilate(sharp, joined, cv::getStructuringElement(cv::MORPH_RECT, {2 * kGapBlocks + 1, 3}));
  cv::Mat labels, boxes, centres;
  const int count = cv::connectedComponentsWithStats(joined, labels, boxes, centres);
  for (int label = 1; label < count; ++label) {
    const cv::Mat own = (labels == label) & sharp;
    const int blocks = cv::countNonZero(own);
    const cv::Rect box = cv::boundingRect(own);
    // Words are wider than high, and stand close together; what is filmed and still is not, mostly.
    if (blocks < kLeastBlocks || box.width < box.height) continue;
    if (box.height * kBlock > kMostHeight * state_->size.height || blocks < kLeastFilled * box.area())
      continue;
    const double beside = MarginBeside(box, state_->size.width);
    const double left = box.x * kBlock - beside, top = box.y * kBlock - kMargin;
    const double right = (box.x + box.width) * kBlock + beside,
                 bottom = (box.y + box.height) * kBlock + kMargin;
    areas.push_back({{std::max(left, 0.0), std::max(top, 0.0)},
                     {std::min(right, state_->size.width - 1.0), std::min(bottom, state_->size.height - 1.0)},
                     static_cast<double>(blocks) / box.area()});
  }
  std::sort(areas.begin(), areas.end(), [](const TextArea& a, const TextArea& b) {
    return std::pair(a.corner.y, a.corner.x) < std::pair(b.corner.y, b.corner.x);
  });
  return areas;
}

}  // namespace afterscope
