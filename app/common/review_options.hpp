// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace CLI {
class App;
}

namespace afterscope {

// Which review a command works on, and what it is where it is made.
struct ReviewOptions {
  std::string review;    // id
  std::string reviewer;  // code
  std::string kind;
  bool self = false;
  bool blinded = false;
};

// --review, --reviewer, --kind, --self, --blinded.
void BindReviewOptions(CLI::App& sub, ReviewOptions& options);

Result<OpenCaseOptions> OpenOptionsFrom(const ReviewOptions& options);

}  // namespace afterscope
