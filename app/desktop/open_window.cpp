// SPDX-License-Identifier: Apache-2.0
#include "app/common/recent_list.hpp"
#include "app/common/window.hpp"
#include "app/desktop/shell/shell.hpp"

#include <fmt/format.h>

#include <cstdio>

namespace afterscope {
namespace {

int Fail(const Error& error) {
  fmt::print(stderr, "{}\n", error.message);
  return static_cast<int>(error.code);
}

}  // namespace

int OpenWindow(const std::vector<std::string>& paths) {
  auto shell = Shell::Open(LoadViewSettings(WindowSettingsPath()));
  if (!shell) return Fail(shell.error());
  auto app = App::Make((*shell)->gl(), (*shell)->calls());
  if (!app) return Fail(app.error());
  (*app)->OpenPaths(paths);
  (*shell)->Run(**app);
  app->reset();  // before the context goes
  return 0;
}

}  // namespace afterscope
