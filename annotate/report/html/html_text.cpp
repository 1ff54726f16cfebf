// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/html/html_text.hpp"

#include "annotate/exchange/markup.hpp"
#include "annotate/report/safe_text.hpp"

#include <algorithm>
#include <cstdint>

namespace afterscope {

std::string EscapeHtml(std::string_view text) { return EscapedMarkup(SafeText(text), true); }

std::string Base64(std::string_view bytes) {
  static constexpr char kDigits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t word = 0;
    for (std::size_t k = 0; k < 3; ++k)
      word = (word << 8) | (k < count ? static_cast<std::uint8_t>(bytes[i + k]) : 0u);
    for (std::size_t k = 0; k < 4; ++k) out += k <= count ? kDigits[(word >> (18 - 6 * k)) & 63] : '=';
  }
  return out;
}

}  // namespace afterscope
