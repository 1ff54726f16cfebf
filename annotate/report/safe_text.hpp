// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace afterscope {

// Text that anyone may have written, made harmless to show: bytes that are not UTF-8 become U+FFFD; control
// characters, and the characters that reorder or hide what is around them (bidirectional embeddings,
// overrides and isolates U+202A-202E and U+2066-2069, U+200E, U+200F, U+061C, line and paragraph separators,
// byte-order marks, soft hyphens, invisible spaces, operators and tags), become visible as "[U+202E]". The
// joiners U+200C and U+200D stay, which scripts need. Line feeds stay, tabs become a space, carriage returns
// go.
std::string SafeText(std::string_view text);

// The same JSON with those characters written as \uXXXX, so that it can be shown.
std::string EscapedJson(std::string_view json);

// The first `most` characters of a text, then `note`; a text that is not longer comes back as it is.
std::string Shortened(const std::string& text, std::size_t most, const std::string& note);

}  // namespace afterscope
