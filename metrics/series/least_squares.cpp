// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/least_squares.hpp"

#include "metrics/series/checks.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>

#include <cmath>
#include <unsupported/Eigen/LevenbergMarquardt>

namespace afterscope {
namespace {

constexpr auto kCurveName = "The curve";

struct Residuals : Eigen::DenseFunctor<double> {
  Residuals(const CurveModel& m, std::span<const double> xs, std::span<const double> ys)
      : DenseFunctor(m.parameters, static_cast<int>(xs.size())), model(m), x(xs), y(ys) {}

  int operator()(const Eigen::VectorXd& b, Eigen::VectorXd& out) const {
    for (std::size_t i = 0; i < x.size(); ++i)
      out[static_cast<Eigen::Index>(i)] = model.value(x[i], b) - y[i];
    return out.allFinite() ? 0 : -1;
  }

  int df(const Eigen::VectorXd& b, Eigen::MatrixXd& jacobian) const {
    Eigen::RowVectorXd row(model.parameters);
    for (std::size_t i = 0; i < x.size(); ++i) {
      model.gradient(x[i], b, row);
      jacobian.row(static_cast<Eigen::Index>(i)) = row;
    }
    return jacobian.allFinite() ? 0 : -1;
  }

  const CurveModel& model;
  std::span<const double> x;
  std::span<const double> y;
};

bool Converged(Eigen::LevenbergMarquardtSpace::Status status) {
  using namespace Eigen::LevenbergMarquardtSpace;
  return status != ImproperInputParameters && status != TooManyFunctionEvaluation && status != UserAsked &&
         status != NotStarted && status != Running;
}

}  // namespace

Result<CurveFit> FitCurve(const CurveModel& model, std::span<const double> x, std::span<const double> y,
                          const Eigen::VectorXd& start) {
  AFTERSCOPE_TRY(CheckPairs(x, y, static_cast<std::size_t>(model.parameters) + 1, kCurveName));
  Residuals residuals(model, x, y);
  Eigen::LevenbergMarquardt<Residuals> solver(residuals);
  solver.setXtol(1e-14);
  solver.setFtol(1e-14);
  solver.setGtol(0);
  solver.setMaxfev(5000);
  CurveFit fit;
  fit.parameters = start;
  if (!Converged(solver.minimize(fit.parameters)) || !fit.parameters.allFinite())
    return NotComputable(kCurveName, "the fit did not settle");

  Eigen::VectorXd rest(residuals.values());
  Eigen::MatrixXd jacobian(residuals.values(), model.parameters);
  if (residuals(fit.parameters, rest) != 0 || residuals.df(fit.parameters, jacobian) != 0)
    return NotComputable(kCurveName, "the fit did not settle");
  // Columns are scaled first: parameters may differ by orders of magnitude and still be well told apart.
  const Eigen::RowVectorXd scale = jacobian.colwise().norm();
  if (!(scale.minCoeff() > 0)) return NotComputable(kCurveName, "the cases do not tell its parameters apart");
  const Eigen::MatrixXd scaled = jacobian * scale.cwiseInverse().asDiagonal();
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(scaled);
  qr.setThreshold(1e-12);
  if (qr.rank() < model.parameters)
    return NotComputable(kCurveName, "the cases do not tell its parameters apart");
  const Eigen::MatrixXd inverse = (scaled.transpose() * scaled)
                                      .ldlt()
                                      .solve(Eigen::MatrixXd::Identity(model.parameters, model.parameters));

  fit.degrees = residuals.values() - model.parameters;
  fit.residual_squares = rest.squaredNorm();
  fit.residual_sd = std::sqrt(fit.residual_squares / fit.degrees);
  fit.covariance = fit.residual_sd * fit.residual_sd *
                   (scale.cwiseInverse().asDiagonal() * inverse * scale.cwiseInverse().asDiagonal()).eval();
  return fit;
}

}  // namespace afterscope
