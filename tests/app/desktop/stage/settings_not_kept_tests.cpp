// SPDX-License-Identifier: Apache-2.0
// The whole window, without a display, where its settings can't be written.
#include "tests/app/desktop/stage/stage_support.hpp"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <string>

namespace afterscope {

TEST_CASE("The window says why it could not keep how it was left", "[window][settings]") {
  const TemporaryFolder folder;
  const auto stage = Stage::Make(1280, 720);
  REQUIRE(stage);
  App& app = stage->app();
  CHECK(app.SaveSettings().ok());
  CHECK(app.said().text.empty());
  std::ofstream(folder / "file") << "no folder";
  ::setenv("XDG_CONFIG_HOME", (folder / "file").c_str(), 1);
  CHECK_FALSE(app.SaveSettings().ok());
  CHECK(app.said().failure);
  CHECK(app.said().text.find(folder / "file") != std::string::npos);
  CHECK(app.said().until > 1);
}

}  // namespace afterscope
