// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

namespace afterscope {

void App::StartReport() { Say("This build can't write reports from the window yet; use the command.", true); }

}  // namespace afterscope
