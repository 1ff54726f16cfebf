// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/stage/look_support.hpp"

#include "tests/app/desktop/stage/approved_support.hpp"

#include <fmt/format.h>

#include <cstdlib>

namespace afterscope {

std::vector<LookSize> AllLooks() {
  std::vector<LookSize> all;
  for (const auto& [width, height] : {std::pair{1280, 720}, std::pair{1920, 1080}, std::pair{2560, 1440}})
    for (const int percent : {90, 100, 150, 200})
      for (const bool light : {false, true}) all.push_back({width, height, percent, light});
  return all;
}

std::string LookName(const std::string& what, const LookSize& size) {
  return fmt::format("{}_{}_{}_{}", what, size.height, size.percent, size.light ? "light" : "dark");
}

bool IsLookWanted(const std::string& name) {
  const char* at = std::getenv("AFTERSCOPE_LOOK_AT");
  return at == nullptr || name.find(at) != std::string::npos;
}

std::unique_ptr<Stage> StageFor(const LookSize& size) {
  auto stage = Stage::Make(size.width, size.height);
  if (!stage) return stage;
  for (int i = 100; i < size.percent; i += 10) stage->Press("Ctrl++");
  for (int i = 100; i > size.percent; i -= 10) stage->Press("Ctrl+-");
  if (size.light) stage->Press("Ctrl+L");
  return stage;
}

void LeaveLook(Stage& stage, const std::string& name) {
  if (!IsLookWanted(name)) return;
  stage.Settle(20);
  WritePngFile(stage.Read(), fmt::format("{}/{}.png", std::getenv("AFTERSCOPE_LOOK"), name));
}

}  // namespace afterscope
