// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The reference distributions the measures need, from Boost.Math (all use of it is behind this header).
// `level` is that of two-sided limits, in (0, 1); a probability is in [0, 1]; degrees of freedom are positive
// and may be fractional. Outside its domain a function returns NaN; none throws.

double NormalFactor(double level);              // 1.959964 at 0.95
double StudentFactor(double level, double df);  // 2.119905 at 0.95 and 16
double TwoSidedNormalP(double z);
double TwoSidedStudentP(double t, double df);
double NormalCdf(double z);
double NormalQuantile(double p);
double ChiSquareQuantile(double p, double df);
double FQuantile(double p, double df1, double df2);
double UpperFP(double f, double df1, double df2);  // P(F >= f)
double BetaQuantile(double p, double a, double b);
double BinomialCdf(int at_most, int n, double p);

// The smallest k with BinomialCdf(k, n, p) >= q.
int BinomialQuantile(double q, int n, double p);

}  // namespace afterscope
