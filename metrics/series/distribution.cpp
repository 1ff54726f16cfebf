// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/distribution.hpp"

#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <cmath>

namespace afterscope {
namespace {

namespace bm = boost::math;
namespace bp = boost::math::policies;

using Quiet =
    bp::policy<bp::domain_error<bp::ignore_error>, bp::pole_error<bp::ignore_error>,
               bp::overflow_error<bp::ignore_error>, bp::evaluation_error<bp::ignore_error>,
               bp::rounding_error<bp::ignore_error>, bp::indeterminate_result_error<bp::ignore_error>,
               bp::discrete_quantile<bp::integer_round_up>>;
using Normal = bm::normal_distribution<double, Quiet>;
using Student = bm::students_t_distribution<double, Quiet>;
using ChiSquare = bm::chi_squared_distribution<double, Quiet>;
using FisherF = bm::fisher_f_distribution<double, Quiet>;
using Beta = bm::beta_distribution<double, Quiet>;
using Binomial = bm::binomial_distribution<double, Quiet>;

}  // namespace

double NormalFactor(double level) { return bm::quantile(bm::complement(Normal(), (1 - level) / 2)); }

double StudentFactor(double level, double df) {
  return bm::quantile(bm::complement(Student(df), (1 - level) / 2));
}

double TwoSidedNormalP(double z) { return 2 * bm::cdf(bm::complement(Normal(), std::fabs(z))); }

double TwoSidedStudentP(double t, double df) {
  return 2 * bm::cdf(bm::complement(Student(df), std::fabs(t)));
}

double NormalCdf(double z) { return bm::cdf(Normal(), z); }

double NormalQuantile(double p) { return bm::quantile(Normal(), p); }

double ChiSquareQuantile(double p, double df) { return bm::quantile(ChiSquare(df), p); }

double FQuantile(double p, double df1, double df2) { return bm::quantile(FisherF(df1, df2), p); }

double UpperFP(double f, double df1, double df2) { return bm::cdf(bm::complement(FisherF(df1, df2), f)); }

double BetaQuantile(double p, double a, double b) { return bm::quantile(Beta(a, b), p); }

double BinomialCdf(int at_most, int n, double p) {
  if (at_most < 0) return 0;
  if (at_most >= n) return 1;
  return bm::cdf(Binomial(n, p), at_most);
}

int BinomialQuantile(double q, int n, double p) {
  int k = 0;
  double sum = BinomialCdf(0, n, p);
  while (k < n && sum < q) sum = BinomialCdf(++k, n, p);
  return k;
}

}  // namespace afterscope
