// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <CLI/CLI.hpp>

namespace afterscope {

// For the check of an option: a finite number with a point, in these limits, which belong to it. CLI11's own
// lets "nan" through, and takes no words at all for 0.
CLI::Validator NumberWithin(double least, double most);
CLI::Validator AnyNumber();

}  // namespace afterscope
