// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/clips/clip_sheet.hpp"
#include "app/desktop/drafts/draft_sheet.hpp"
#include "app/desktop/scores/score_desk.hpp"
#include "app/desktop/series/series_sheet.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// The sheets that do work of their own and have keys of their own, which hold while the sheet is open.
class WorkSheets {
 public:
  explicit WorkSheets(SheetCalls calls)
      : calls_(std::move(calls)), drafts_(calls_), clips_(calls_), series_(calls_), scores_(calls_) {}
  WorkSheets(const WorkSheets&) = delete;
  WorkSheets& operator=(const WorkSheets&) = delete;

  // Whether the action is one of that sheet's.
  bool Do(SheetKind open, const std::string& action, const Scene& scene);
  std::vector<KeyHint> Hints(SheetKind open, const Scene& scene) const;  // empty: the usual ones
  void Draw(SheetKind open, const Scene& scene);
  void Follow(SheetKind open, const Scene& scene);  // once a frame
  void Forget();                                    // another case
  void Close() { clips_.Close(); }                  // the window is closed: what waits is kept
  DraftSheet& drafts() { return drafts_; }
  ScoreDesk& scores() { return scores_; }
  SeriesSheet& series() { return series_; }
  // Keys that stand for themselves in that sheet, such as the digits of a score.
  bool Press(SheetKind open, const KeyChord& chord, const Scene& scene);
  // Actions whose keys hold whatever sheet is open.
  bool DoAnywhere(const std::string& action, const Scene& scene);

  // A take of the narration is being spoken.
  bool Narrating() const { return clips_.Narrating(); }
  // Something moves by itself.
  bool Restless() const { return clips_.Restless(); }
  // A sheet shows something of its own instead of the recording's picture: a picture (empty: it is not there
  // yet) or a chart.
  bool HasPicture() const { return clips_.Previewing() || series_.Covers(); }
  Picture OwnPicture() const { return series_.Covers() ? Picture() : clips_.PreviewPicture(); }
  // A chart lies over the picture, of which the timeline says nothing.
  bool ShowsChart() const { return series_.Covers(); }
  void DrawOver(const Scene& scene, const ScreenRect& picture);

 private:
  const SheetCalls calls_;
  DraftSheet drafts_;
  ClipSheet clips_;
  SeriesSheet series_;
  ScoreDesk scores_;
};

}  // namespace afterscope
