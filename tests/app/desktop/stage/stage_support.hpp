// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/app.hpp"
#include "metrics/picture/rgb_image.hpp"
#include "tests/app/desktop/gl/offscreen_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The whole window without a display: the real app, drawn off-screen, with a clock of its own and keys and
// pointer handed in. Its settings lie in a folder of its own. One at a time.
class Stage {
 public:
  // Null where this machine can't make a context.
  static std::unique_ptr<Stage> Make(int width, int height);
  ~Stage();
  Stage(const Stage&) = delete;
  Stage& operator=(const Stage&) = delete;

  App& app() { return *app_; }
  void Open(const std::vector<std::string>& paths) { app_->OpenPaths(paths); }
  void Press(const std::string& chord);
  void MovePointer(float x, float y);
  void Click(float x, float y);
  // Draws one frame `step` seconds after the one before; how long that took in seconds.
  double Draw(double step = 1.0 / 60);
  // Draws until the condition holds, waiting a little between frames; false when patience is over.
  bool DrawUntil(const std::function<bool()>& holds, double patience_s = 60);
  // Draws until nothing changes any more for a while.
  bool Settle(double patience_s = 60);
  RgbImage Read() const { return offscreen_->Read(); }
  // What draws, as the driver says.
  std::string Renderer() const;

 private:
  Stage(std::unique_ptr<Offscreen> offscreen, int width, int height);

  TemporaryFolder home_;
  std::unique_ptr<Offscreen> offscreen_;
  int width_;
  int height_;
  double now_ = 1;
  std::unique_ptr<App> app_;
};

}  // namespace afterscope
