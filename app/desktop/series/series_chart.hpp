// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/series/series_figures.hpp"

#include <cstddef>
#include <optional>

namespace afterscope {

// A figure of a series over the picture: its chart, the case of one of its points, and what is said of it.
// The words have the height that they need, up to less than half of it; where there is little, the chart has
// it all.
class SeriesChart {
 public:
  // Forward (1) or back (-1) from case to case by keys, round the end.
  void Turn(int direction, std::size_t count);
  void Forget() { point_.reset(); }
  // The one that the pointer or the keys were at last.
  std::optional<std::size_t> point() const { return point_; }

  // The point that was pressed; empty: none.
  std::optional<std::size_t> Draw(const Look& look, const SeriesFigure& figure, const SeriesModel& model,
                                  const ScreenRect& picture);

 private:
  bool DrawPoints(const Look& look, const SeriesFigure& figure, const SeriesModel& model,
                  const ScreenRect& area);

  std::optional<std::size_t> point_;
};

}  // namespace afterscope
