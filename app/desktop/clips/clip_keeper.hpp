// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/clips/clip_parts.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <memory>
#include <mutex>
#include <string>

namespace afterscope {

// Keeps the clip plan of the open case in its folder (clips/NAME.json): read when the case is opened, written
// at once, whole or not at all, with every change. One thread; the disk is asked in the background.
class ClipKeeper {
 public:
  explicit ClipKeeper(const SheetCalls& calls) : calls_(calls) {}
  ClipKeeper(const ClipKeeper&) = delete;
  ClipKeeper& operator=(const ClipKeeper&) = delete;

  // Once a frame: the folder of the case that is open, empty for none.
  void Follow(const std::string& folder);
  // While it is held the plan stays, whatever case is opened: parts of several cases come into it.
  void Hold(bool held) { held_ = held; }
  bool held() const { return held_; }
  const std::string& folder() const { return folder_; }  // of the case that has the plan
  // How the plan names the case of that folder; empty: its own.
  std::string NameOf(const std::string& case_folder) const;
  bool ready() const { return ready_; }  // the plan of the open case is here
  const ClipPlan& plan() const { return book_.plan(); }
  std::uint64_t revision() const { return book_.revision(); }
  void Change(ClipPlan next, bool goes_on = false) { book_.Change(std::move(next), goes_on); }
  // On this thread, what is not on the disk yet: before the window is closed.
  void SaveNow();
  bool Undo() { return book_.Undo(); }
  bool Redo() { return book_.Redo(); }

 private:
  void Load();

  const SheetCalls& calls_;
  std::string folder_;
  bool ready_ = false;
  bool held_ = false;
  ClipBook book_;
  std::uint64_t saved_ = 0;  // revision that is on the disk, or on its way
  JobHandle saving_;
  std::shared_ptr<std::mutex> writing_ = std::make_shared<std::mutex>();
};

}  // namespace afterscope
