// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"
#include "app/desktop/picture/picture_view.hpp"

#include <string>

namespace afterscope {

// The strip over the lower edge of the picture in which something is typed.
void BeginStrip(const char* name, const Look& look, const ScreenRect& picture);
void EndStrip();
// Its first line: what it is about, and how it is kept and left.
void StripTitle(const Look& look, const std::string& title);

bool EnterPressed();  // either of the two keys
bool EscapePressed();

}  // namespace afterscope
