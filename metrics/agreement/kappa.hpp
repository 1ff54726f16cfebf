// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"
#include "metrics/base/result.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace afterscope {

// How often reviewer A gave grade i and B grade j: cell i * grades + j. Counts, or lengths of time, or
// shares.
struct GradeTable {
  std::size_t grades = 0;
  std::vector<double> cells;
  double At(std::size_t a, std::size_t b) const { return cells[a * grades + b]; }
  double Total() const;
};

// Grades count from 0 and lie below `grades`; as many from A as from B.
Result<GradeTable> TabulateGrades(std::span<const int> a, std::span<const int> b, std::size_t grades);

// How much a disagreement between two grades counts.
enum class KappaWeights {
  kEqual,      // any disagreement the same (Cohen 1960)
  kLinear,     // |i - j|
  kQuadratic,  // (i - j)^2: close to an intraclass correlation
};

struct Kappa {
  double n = 0;         // what was tabulated
  double observed = 0;  // weighted agreement seen, 0 to 1
  double expected = 0;  // weighted agreement by chance
  Estimate kappa;  // (observed - expected) / (1 - expected), limits +- normal factor times its standard error
  double standard_error = 0;  // for large n (Fleiss, Cohen & Everitt 1969, Psychol Bull 72:323)
  bool has_limits = true;     // false: the table gives none, low and high are then the value
  std::string method;
  std::vector<std::string> cautions;
};

// Agreement beyond chance between two reviewers. Refused for an empty table, for cells below 0, and if both
// gave one and the same grade throughout (then chance alone explains everything). If one reviewer used a
// single grade kappa is 0, with a caution. Limits mean something only if the cells are counts of independent
// cases; below 30 of them with a caution (common practice, no source). They are cut at -1 and 1. Where no
// disagreement was seen the standard error is 0 and means nothing: the lower limit is then what the largest
// share of disagreements that n agreements leave possible (Clopper & Pearson 1934, Biometrika 26:404) would
// make of kappa if each were the widest one, a safe bound rather than a close one. In other tables without a
// standard error there are no limits.
Result<Kappa> CohenKappa(const GradeTable& table, KappaWeights weights, double level = 0.95);

// The same with a disagreement weight for each pair of grades, row by row; 0 on the diagonal, none below 0,
// some above 0 (Cohen 1968, Psychol Bull 70:213).
Result<Kappa> WeightedKappa(const GradeTable& table, std::span<const double> disagreement,
                            double level = 0.95);

// Kappa of pairs of scores; the scores that occur are the grades, and what lies between two of them is their
// weight, so that a grade that nobody gave still counts in the distance. As many of `a` as of `b`, all
// finite.
Result<Kappa> KappaOfScores(std::span<const double> a, std::span<const double> b, KappaWeights weights,
                            double level = 0.95);

}  // namespace afterscope
