// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/action_scene.hpp"
#include "app/desktop/picture/picture_panel.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What keys do to the marks on the picture: tools, points, copies to another frame. One thread.
class MarkKeys {
 public:
  explicit MarkKeys(PictureState& picture) : picture_(picture) {}

  // An action of the key map. False: not one of these.
  bool Do(const std::string& action, const ActionScene& on);
  // A chosen point is seen, so that keys can change it.
  bool PointChosen(const Player& player, const Review& review) const;
  // Asks for words and puts them there on the frame that is shown.
  void AskLabel(PointPx at, const ActionScene& on);
  void Leave();  // the tool is put away
  void Forget() { copied_.clear(); }

 private:
  bool DoTool(const std::string& action, const ActionScene& on);
  bool DoPoint(const std::string& action, const ActionScene& on);
  bool ChangePoint(const std::string& action, const ActionScene& on);
  bool DoMarkHere(const std::string& action, const ActionScene& on);
  void AskLength(const MarkId& ruler, const ActionScene& on);
  bool DoCopy(const std::string& action, const ActionScene& on);
  void TakeAlong(bool only_chosen, const ActionScene& on);

  PictureState& picture_;
  std::vector<Mark> copied_;
};

}  // namespace afterscope
