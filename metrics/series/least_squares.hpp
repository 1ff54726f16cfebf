// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <Eigen/Core>

#include <functional>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// y = f(x; b) + error with equal spread. `value` is f; `gradient` fills df/db.
struct CurveModel {
  int parameters = 0;
  std::function<double(double x, const Eigen::VectorXd& b)> value;
  std::function<void(double x, const Eigen::VectorXd& b, Eigen::Ref<Eigen::RowVectorXd> gradient)> gradient;
};

struct CurveFit {
  Eigen::VectorXd parameters;
  Eigen::MatrixXd covariance;  // (J'J)^-1 RSS / (n - parameters)
  double residual_squares = 0;
  double residual_sd = 0;  // sqrt(RSS / (n - parameters))
  int degrees = 0;         // n - parameters
};

// Least squares in the units of y by Levenberg and Marquardt's method (Eigen), from `start`. More pairs than
// parameters; refused if it does not converge or the parameters are not told apart by the data.
Result<CurveFit> FitCurve(const CurveModel& model, std::span<const double> x, std::span<const double> y,
                          const Eigen::VectorXd& start);

}  // namespace afterscope
