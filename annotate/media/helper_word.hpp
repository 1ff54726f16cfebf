// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

// The first argument that makes this program a decoding helper; no verb and no file name looks like it.
constexpr const char* kHelperWord = "--decode-for-parent";

}  // namespace afterscope
