// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What others read, such as a table, goes as it is into a file or a pipe; on a terminal it is made safe to
// show (annotate/report/safe_text.hpp).
std::string ForOutput(const std::string& text, bool to_terminal);

// Print on standard output, ForOutput.
void ShowText(const std::string& text);
void ShowJson(const std::string& json);  // what must not be shown escaped in any case

// kBadCall where one place is named for two results of one call, which would write over each other. An empty
// path is none.
Status RefuseSameOutput(const std::vector<std::string>& paths);

// Writes a command's result to a file as WriteUserFile does; "-" is standard output.
Status WriteOutput(const std::string& path, const std::string& text);
Status WriteJsonOutput(const std::string& path, const std::string& json);  // as ShowJson

}  // namespace afterscope
