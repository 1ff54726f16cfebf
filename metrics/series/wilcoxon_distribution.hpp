// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The exact distributions of Wilcoxon's two statistics without ties, by counting (Wilcoxon 1945; Mann &
// Whitney 1947). Groups of up to a few hundred.

// P(U <= u), U the number of pairs in which the second is larger; m, n >= 1.
double RankSumCdf(int u, int m, int n);
// P(V <= v), V the sum of the ranks of the positive ones of n.
double SignedRankCdf(int v, int n);

// The least value whose cumulative probability reaches p.
int RankSumQuantile(double p, int m, int n);
int SignedRankQuantile(double p, int n);

}  // namespace afterscope
