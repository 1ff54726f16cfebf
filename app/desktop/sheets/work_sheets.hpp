// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/drafts/draft_sheet.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// The sheets that do work of their own and have keys of their own, which hold while the sheet is open.
class WorkSheets {
 public:
  explicit WorkSheets(SheetCalls calls) : calls_(std::move(calls)), drafts_(calls_) {}
  WorkSheets(const WorkSheets&) = delete;
  WorkSheets& operator=(const WorkSheets&) = delete;

  // Whether the action is one of that sheet's.
  bool Do(SheetKind open, const std::string& action, const Scene& scene);
  std::vector<KeyHint> Hints(SheetKind open, const Scene& scene) const;  // empty: the usual ones
  void Draw(SheetKind open, const Scene& scene);
  void Follow(SheetKind open, const Scene& scene);  // once a frame
  void Forget();                                    // another case
  DraftSheet& drafts() { return drafts_; }

 private:
  const SheetCalls calls_;
  DraftSheet drafts_;
};

}  // namespace afterscope
