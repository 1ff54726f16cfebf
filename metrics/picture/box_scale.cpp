// SPDX-License-Identifier: Apache-2.0
#include "metrics/picture/box_scale.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr double kWhole = 65535;   // a weight of 1; the one step missing is lost in rounding
constexpr double kNoShare = 1e-4;  // of a sample: not worth taking it
constexpr double kFar = 1e9;       // the outermost samples go on beyond the edges

// Old samples [from, to), in fractions, that a new one is made of.
struct Box {
  double from, to;
};

// The part of the box that lies in [low, high).
double Overlap(const Box& box, double low, double high) {
  return std::max(0.0, std::min(box.to, high) - std::max(box.from, low));
}

Box CellOf(const SampleCells& cells, int i) {
  const double from = cells.first + i * cells.step;
  return {from, from + cells.step};
}
Box BoxOf(const SampleCells& cells, int i) {
  const double middle = cells.first + (i + 0.5) * cells.step, half = std::max(1.0, cells.step) / 2;
  return {middle - half, middle + half};
}

// For each new sample: the old ones that it is made of, and how much of its cell lies within the source.
struct Taps {
  int each = 1;                        // old samples a new one
  std::vector<int> first;              // the first of them
  std::vector<std::uint16_t> weights;  // `each` a new sample, together kWhole
  std::vector<float> within;           // 0 to 1

  const std::uint16_t* WeightsOf(int i) const {
    return weights.data() + static_cast<std::ptrdiff_t>(i) * each;
  }
};

// The most old samples that a new one touches.
int MostTouched(const SampleCells& cells, int old_count, int new_count) {
  double most = 1;
  for (int i = 0; i < new_count; ++i) {
    const Box box = BoxOf(cells, i);
    most = std::max(most, std::ceil(box.to - kNoShare) - std::floor(box.from + kNoShare));
  }
  return static_cast<int>(std::min<double>(most, old_count));
}

// The weights of the old samples from `first` on, rounded so that together they stay whole.
void AddWeights(const Box& box, int first, int old_count, Taps& taps) {
  double so_far = 0, given = 0;
  for (int s = first; s < first + taps.each; ++s) {
    so_far += Overlap(box, s == 0 ? -kFar : s, s + 1 == old_count ? kFar : s + 1);
    const double until = std::round(std::min(1.0, so_far / (box.to - box.from)) * kWhole);
    taps.weights.push_back(static_cast<std::uint16_t>(until - given));
    given = until;
  }
}

Taps TapsFor(const SampleCells& cells, int old_count, int new_count) {
  Taps taps;
  taps.each = MostTouched(cells, old_count, new_count);
  for (int i = 0; i < new_count; ++i) {
    const Box box = BoxOf(cells, i);
    const double last_first = old_count - taps.each;
    taps.first.push_back(static_cast<int>(std::clamp(std::floor(box.from + kNoShare), 0.0, last_first)));
    AddWeights(box, taps.first.back(), old_count, taps);
    taps.within.push_back(static_cast<float>(Overlap(CellOf(cells, i), 0, old_count) / cells.step));
  }
  return taps;
}

bool IsSame(const SampleCells& cells, int old_count, int new_count) {
  return old_count == new_count && std::abs(cells.first) < kNoShare && std::abs(cells.step - 1) < 1e-9;
}

// Rows mixed by their weights, in 256ths of a grey level.
void MixRows(const cv::Mat& source, int first, const std::uint16_t* weights, int rows,
             std::vector<std::uint16_t>& mixed) {
  const auto width = static_cast<std::size_t>(source.cols);
  for (int k = 0; k < rows; ++k) {
    const std::uint8_t* const row = source.ptr<std::uint8_t>(first + k);
    const std::uint32_t weight = weights[k];
    std::uint16_t* const to = mixed.data();
    if (k == 0)
      for (std::size_t x = 0; x < width; ++x)
        to[x] = static_cast<std::uint16_t>((static_cast<std::uint16_t>(row[x] << 8) * weight) >> 16);
    else
      for (std::size_t x = 0; x < width; ++x)
        to[x] =
            static_cast<std::uint16_t>(to[x] + ((static_cast<std::uint16_t>(row[x] << 8) * weight) >> 16));
  }
}

// Samples mixed along a row; `kEach` of the taps, 0 where it is known only now.
template <int kEach>
void MixAlong(const std::uint16_t* row, const Taps& taps, int count, std::uint8_t* to) {
  const int each = kEach == 0 ? taps.each : kEach;
  const std::uint16_t* weight = taps.weights.data();
  for (int i = 0; i < count; ++i, weight += each) {
    const std::uint16_t* const from = row + taps.first[static_cast<std::size_t>(i)];
    std::uint32_t sum = 1U << 23;
    for (int k = 0; k < each; ++k) sum += std::uint32_t{from[k]} * weight[k];
    to[i] = static_cast<std::uint8_t>(sum >> 24);
  }
}

void MixAlongBy(const std::uint16_t* row, const Taps& taps, int count, std::uint8_t* to) {
  switch (taps.each) {
    case 1:
      return MixAlong<1>(row, taps, count, to);
    case 2:
      return MixAlong<2>(row, taps, count, to);
    case 3:
      return MixAlong<3>(row, taps, count, to);
    case 4:
      return MixAlong<4>(row, taps, count, to);
    default:
      return MixAlong<0>(row, taps, count, to);
  }
}

void TowardsBeyond(float within, std::uint8_t beyond, std::uint8_t& sample) {
  sample = static_cast<std::uint8_t>(std::lround(within * sample + (1 - within) * beyond));
}

}  // namespace

void BoxScale(const cv::Mat& source, SampleCells across, SampleCells down, std::uint8_t beyond,
              cv::Mat& into) {
  if (IsSame(across, source.cols, into.cols) && IsSame(down, source.rows, into.rows))
    return source.copyTo(into);
  const Taps columns = TapsFor(across, source.cols, into.cols), rows = TapsFor(down, source.rows, into.rows);
  std::vector<int> partly;  // columns that reach beyond the source
  for (int i = 0; i < into.cols; ++i)
    if (columns.within[static_cast<std::size_t>(i)] < 1 - kNoShare) partly.push_back(i);
  std::vector<std::uint16_t> mixed(static_cast<std::size_t>(source.cols));
  for (int j = 0; j < into.rows; ++j) {
    std::uint8_t* const to = into.ptr<std::uint8_t>(j);
    const float within = rows.within[static_cast<std::size_t>(j)];
    if (within <= 0) {
      std::fill_n(to, into.cols, beyond);
      continue;
    }
    MixRows(source, rows.first[static_cast<std::size_t>(j)], rows.WeightsOf(j), rows.each, mixed);
    MixAlongBy(mixed.data(), columns, into.cols, to);
    for (const int i : partly) TowardsBeyond(columns.within[static_cast<std::size_t>(i)], beyond, to[i]);
    if (within < 1 - kNoShare)
      for (int i = 0; i < into.cols; ++i) TowardsBeyond(within, beyond, to[i]);
  }
}

}  // namespace afterscope
