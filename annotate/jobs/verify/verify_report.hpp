// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/verify/verify_verdict.hpp"
#include "annotate/store/json_text.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

struct VerifyRun {
  std::uint64_t seed = 0;
  std::string program;  // version
  std::vector<VerifiedPhantom> phantoms;
  std::vector<FindingVerdict> verdicts;
};

// For people: the phantoms, the main findings measured beside true, what was found in the pictures, the
// verdict on every finding, how it was judged, and the published facts that it all rests on.
std::string VerifyText(const VerifyRun& run);

// Everything, every comparison of every phantom included.
Json VerifyJson(const VerifyRun& run);

}  // namespace afterscope
