// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace afterscope {

// The slopes (y_j - y_i) / (x_j - x_i) of all pairs with different x, without keeping them all: thousands of
// cases have millions. Finite values.

std::size_t CountSlopes(std::span<const double> x);

// The slopes that stand at the given places (from 0, below CountSlopes) in increasing order; exact. Time
// grows with n^2; memory does so only up to some hundred cases.
std::vector<double> SlopesAt(std::span<const double> x, std::span<const double> y,
                             const std::vector<std::size_t>& places);

}  // namespace afterscope
