// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json_fwd.hpp>

#include <string>

namespace afterscope {

// How computed numbers leave the program in JSON and CSV: rounded to ten significant digits. That is finer
// than any limit of a finding and coarser than the noise of binary arithmetic, so that 12.300000000000001 is
// written as 12.3. What a case itself holds (marks, settings, scores as given) is kept to the last digit and
// is not written through here.
double ExportedNumber(double value);

// The shortest text that gives that number; empty for what is not finite, which CSV can't say.
std::string ExportedText(double value);

// With every number that is no whole number type rounded so, at any depth.
nlohmann::ordered_json WithExportedNumbers(nlohmann::ordered_json json);

// The same as text on lines of their own, `indent` blanks a level, a line end after it; with -1 on one line.
std::string ExportedText(const nlohmann::ordered_json& json, int indent = 1);

}  // namespace afterscope
