// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/lowess.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

namespace afterscope {

// R 4.2.2: lowess(cars), speed and stopping distance (Ezekiel 1930), with its defaults.
TEST_CASE("Lowess of the cars", "[series]") {
  const std::vector<double> speed{4,  4,  7,  7,  8,  9,  10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13,
                                  13, 13, 14, 14, 14, 14, 15, 15, 15, 16, 16, 17, 17, 17, 18, 18, 18,
                                  18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25};
  const std::vector<double> distance{2,  10, 4,  22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28,  26, 34,
                                     34, 46, 26, 36, 60, 80, 20, 26, 54, 32, 40, 32, 40, 50, 42,  56, 76,
                                     84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85};
  const std::vector<double> smooth = Lowess(speed, distance).value();
  REQUIRE(smooth.size() == 50);
  CHECK(smooth[0] == Approx(4.965459).epsilon(1e-6));
  CHECK(smooth[1] == Approx(4.965459).epsilon(1e-6));
  CHECK(smooth[2] == Approx(13.124495).epsilon(1e-6));
  CHECK(smooth[49] == Approx(84.328698).epsilon(1e-6));
}

// R 4.2.2: lowess(x, y), and lowess(x, y, f = .5, iter = 2) where near points are interpolated.
TEST_CASE("Lowess with outliers, ties and near points", "[series]") {
  const std::vector<double> y{5, 4.1, 6, 3.2, 9, 2.9, 2.1, 2.5, 1.2, 8, .7, 1.1};
  const std::vector<double> smooth =
      Lowess(std::vector<double>{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, y).value();
  const std::vector<double> expected{4.981481428870, 4.556676226324, 4.118936668061, 3.703802189470,
                                     3.278627187877, 2.790502607188, 2.376473189193, 1.952379538696,
                                     1.589554503291, 1.323168216264, 1.037856146326, 0.759961894189};
  for (std::size_t i = 0; i < expected.size(); ++i) CHECK(smooth[i] == Approx(expected[i]).epsilon(1e-10));

  const std::vector<double> x{1, 1.001, 2, 2, 3, 5, 7, 7.02, 9, 12, 20};
  const std::vector<double> tied =
      Lowess(x, std::vector<double>(y.begin(), y.end() - 1), {0.5, 2, 0.01}).value();
  const std::vector<double> also{
      4.550229235611, 4.550278411967, 4.6,           4.6, 9, 4.864255287019, 2.280208930089, 2.272881738930,
      4.264568675300, 7.907878023323, 0.719166906047};
  for (std::size_t i = 0; i < also.size(); ++i) CHECK(tied[i] == Approx(also[i]).epsilon(1e-9));
}

TEST_CASE("Lowess of small numbers", "[series]") {
  CHECK_FALSE(Lowess(std::vector<double>{1, 2}, std::vector<double>{1, 2}).ok());
  CHECK_FALSE(Lowess(std::vector<double>{3, 2, 1}, std::vector<double>{1, 2, 3}).ok());
  CHECK_FALSE(Lowess(std::vector<double>{1, 2, 3}, std::vector<double>{1, std::nan(""), 3}).ok());
  CHECK(Lowess(std::vector<double>{1, 2, 3}, std::vector<double>{4, 4, 4}).value() ==
        std::vector<double>{4, 4, 4});
  const std::vector<double> same_x =
      Lowess(std::vector<double>{2, 2, 2, 2}, std::vector<double>{1, 2, 3, 6}).value();
  for (const double v : same_x) CHECK(std::isfinite(v));
}

}  // namespace afterscope
