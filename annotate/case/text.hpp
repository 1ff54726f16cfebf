// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// Well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF) without NUL.
bool IsCleanText(std::string_view text);

// ISO 8601 calendar date YYYY-MM-DD that exists.
bool IsDate(std::string_view text);

// The whole text as a finite number with a point, whatever the locale; empty if it is none.
std::optional<double> NumberFrom(std::string_view text);
// The shortest text that gives the same number back, whatever the locale.
std::string TextFrom(double number);

// Without spaces, tabs and line ends at both ends.
std::string_view Trimmed(std::string_view text);
// The parts between separators, trimmed; none for an empty text.
std::vector<std::string> SplitText(std::string_view text, char separator);
std::string JoinText(const std::vector<std::string>& parts, std::string_view separator);

// The name of a folder made of someone's words: letters, digits, '-' and '_', any other byte as '-', at most
// 100 of them; "case" for an empty text.
std::string FolderNameOf(std::string_view words);
// `name`, or where that is taken already the first of "name-2", "name-3" ... that is not. It is taken then.
std::string TakeName(const std::string& name, std::set<std::string>& taken);

}  // namespace afterscope
