// SPDX-License-Identifier: Apache-2.0
#include "app/common/console.hpp"
#include "app/common/recent_list.hpp"
#include "app/common/window.hpp"
#include "app/desktop/shell/shell.hpp"

namespace afterscope {

int OpenWindow(const std::vector<std::string>& paths) {
  auto shell = Shell::Open(LoadViewSettings(WindowSettingsPath()));
  if (!shell) return Failed(shell.error());
  auto app = App::Make((*shell)->gl(), (*shell)->calls());
  if (!app) return Failed(app.error());
  (*app)->OpenPaths(paths);
  (*shell)->Run(**app);
  app->reset();  // before the context goes
  return 0;
}

}  // namespace afterscope
