// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/safe_text.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <optional>

namespace afterscope {

namespace {

struct Decoded {
  std::optional<char32_t> code;  // empty: not UTF-8 here
  std::size_t length = 1;
};

// The character at `at` (RFC 3629: shortest form only, no surrogates, at most U+10FFFF).
Decoded DecodeAt(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t lead = byte(at);
  if (lead < 0x80) return {lead, 1};
  const std::size_t length = lead >= 0xF0 && lead <= 0xF4 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 0;
  if (length == 0 || lead > 0xF4 || at + length > text.size()) return {};
  char32_t code = lead & (0xFF >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0) != 0x80) return {};
    code = (code << 6) | (byte(at + i) & 0x3F);
  }
  constexpr char32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
  if (code < kLeast[length] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
  return {code, length};
}

bool MustBeShown(char32_t c) {
  return c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0x202A && c <= 0x202E) ||
         (c >= 0x2066 && c <= 0x2069) || c == 0x200E || c == 0x200F || c == 0x061C || c == 0x2028 ||
         c == 0x2029 || c == 0xFEFF || c == 0xAD || c == 0x200B || (c >= 0x2060 && c <= 0x2064) ||
         (c >= 0xE0000 && c <= 0xE007F);
}

}  // namespace

std::string SafeText(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Decoded one = DecodeAt(text, at);
    if (!one.code) {
      out += "\uFFFD";
    } else if (*one.code == '\n') {
      out += '\n';
    } else if (*one.code == '\t') {
      out += ' ';
    } else if (MustBeShown(*one.code)) {
      if (*one.code != '\r') out += fmt::format("[U+{:04X}]", static_cast<std::uint32_t>(*one.code));
    } else {
      out.append(text.substr(at, one.length));
    }
    at += one.length;
  }
  return out;
}

std::string EscapedJson(std::string_view json) {
  std::string out;
  out.reserve(json.size());
  for (std::size_t at = 0; at < json.size();) {
    const Decoded one = DecodeAt(json, at);
    const auto code = static_cast<std::uint32_t>(one.code.value_or(0));
    if (code < 0x7F || !MustBeShown(code))
      out.append(json.substr(at, one.length));
    else if (code < 0x10000)
      out += fmt::format("\\u{:04x}", code);
    else
      out += fmt::format("\\u{:04x}\\u{:04x}", 0xD7C0 + (code >> 10), 0xDC00 + (code & 0x3FF));
    at += one.length;
  }
  return out;
}

std::string Shortened(const std::string& text, std::size_t most, const std::string& note) {
  std::size_t characters = 0;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const bool begins = (static_cast<std::uint8_t>(text[at]) & 0xC0) != 0x80;
    if (begins && characters++ == most) return text.substr(0, at) + note;
  }
  return text;
}

}  // namespace afterscope
