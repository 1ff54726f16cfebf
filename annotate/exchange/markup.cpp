// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/markup.hpp"

namespace afterscope {
namespace {

// Empty: the character stands for itself.
std::string_view ReferenceOf(char c, bool quotes) {
  switch (c) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return quotes ? "&quot;" : "";
    case '\'':
      return quotes ? "&#39;" : "";
    default:
      return {};
  }
}

}  // namespace

std::string EscapedMarkup(std::string_view text, bool quotes) {
  std::string out;
  for (const char c : text) {
    const std::string_view reference = ReferenceOf(c, quotes);
    if (reference.empty())
      out += c;
    else
      out += reference;
  }
  return out;
}

}  // namespace afterscope
