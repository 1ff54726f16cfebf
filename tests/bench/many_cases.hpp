// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// Invented cases for tests of size: each with 14 visits, a trail in a file of its own and 60 cached findings,
// written as the program writes them but without syncing. Times fall with the case's number.
void MakeManyCases(const std::string& folder, int count);

}  // namespace afterscope
