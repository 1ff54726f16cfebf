// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

// Two invented cases of one invented operator, tagged, marked and noted, with phantom recordings of a minute
// each at two pictures a second: CASES/X-001 and the later CASES/X-002. Made anew in `folder`; the same to
// the pixel each time. Returns their folders; empty where they could not be made (the reason is on standard
// error).
std::vector<std::string> MakeInventedCases(const std::string& folder);

}  // namespace afterscope
