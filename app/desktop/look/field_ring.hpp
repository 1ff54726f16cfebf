// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/look/look.hpp"

namespace afterscope {

// A line round the field that was drawn last, while it takes what is typed.
void RingActiveField(const Look& look);

}  // namespace afterscope
