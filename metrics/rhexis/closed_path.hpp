// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include <optional>
#include <vector>

namespace afterscope {

// Which columns a path may take in a row: [least, most], within the cost's columns.
struct PathBounds {
  int least = 0;
  int most = 0;
};

// The closed path of least cost through an image of costs (CV_32F): one column a row, from each row to the
// next (and from the last to the first) by at most `most_change` columns, each such change costing
// `change_cost` times its square. Dynamic programming over the rows, once for each start in row `start`,
// which is best chosen where the bounds are narrowest. Empty where the bounds leave no such path, or do not
// belong to the image.
std::optional<std::vector<int>> CheapestClosedPath(const cv::Mat& cost, const std::vector<PathBounds>& bounds,
                                                   int start, double change_cost, int most_change);

}  // namespace afterscope
