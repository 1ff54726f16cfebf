// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

namespace afterscope {

struct ByteRange {
  std::size_t begin = 0;
  std::size_t end = 0;  // past the last byte
  friend bool operator==(const ByteRange&, const ByteRange&) = default;
};

// What is searched: text as it is, or the bytes of a JSON file, in which a character may also stand as an
// escape (`\u00fc`, `\"`). Bytes that are not UTF-8 match nothing.
enum class TextForm { kPlain, kJsonEscapes };

// Where `wanted` stands in `text`, from left to right without overlap, whatever the case of letters (full
// Unicode case folding: "STRASSE" is found in "Straße") and however accents are encoded (composed or
// decomposed): the canonical caseless match of the Unicode standard, section 3.13, D145. A character is found
// with all of its combining marks, so that none is left behind; "Jose" is therefore also found in "José".
// Empty for an empty `wanted`.
std::vector<ByteRange> FindCaseless(std::string_view text, std::string_view wanted,
                                    TextForm form = TextForm::kPlain);

}  // namespace afterscope
