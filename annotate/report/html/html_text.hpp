// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace afterscope {

// Text for HTML content and for attribute values in double quotes: made safe (see SafeText), then & < > " '
// written as character references.
std::string EscapeHtml(std::string_view text);

// RFC 4648, with padding.
std::string Base64(std::string_view bytes);

}  // namespace afterscope
