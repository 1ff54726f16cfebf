// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <vector>

namespace afterscope {

// Data of the Statistical Reference Datasets of the U.S. National Institute of Standards and Technology
// (public domain).
std::vector<double> NistNumAcc(double first, double low,
                               double high);  // `first`, then low and high 500 times in turn
std::vector<double> NistMavro();
std::vector<double> NistLew();
std::vector<double> NistLottery();
std::vector<double> NistMichelso();
std::vector<double> NistPiDigits();  // 5000 digits of pi, 3 first, computed

struct NistPairs {
  std::vector<double> x;
  std::vector<double> y;
};
NistPairs NistDanielWood();
NistPairs NistMisra1a();
NistPairs NistRatkowsky2();

// R's `Nile`, yearly flow 1871 to 1970 (Cobb 1978, Biometrika 65:243).
std::vector<double> NileFlow();

}  // namespace afterscope
