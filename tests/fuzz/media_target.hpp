// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

namespace afterscope {

// The target (targets.hpp) for recordings: opened as the decoding helper opens them, with limits; a few
// frames decoded, reached again by time, and shown; the tables of them that the program makes; some sound.
// Ends within seconds whatever the bytes are.
void ReadMedia(std::string_view bytes);

}  // namespace afterscope
