// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace afterscope {

// Text for HTML, XML and WebVTT: & < > as character references, and with `quotes` both quotation marks too,
// so that it may stand in an attribute.
std::string EscapedMarkup(std::string_view text, bool quotes);

}  // namespace afterscope
