// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/series/series_figures.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The sheet of series: whose cases and which figure; its chart lies over the picture with its words below,
// each point leads to its case. A blind review is shown nothing of it. One thread.
class SeriesSheet {
 public:
  explicit SeriesSheet(const SheetCalls& calls) : calls_(calls) {}

  bool Do(const std::string& action, const Scene& scene);
  void Follow(const Scene& scene, bool shown);  // once a frame
  void Draw(const Scene& scene);
  void DrawOver(const Scene& scene, const ScreenRect& picture);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  bool Covers() const { return shown_; }  // the chart lies over the picture

 private:
  void Build();
  void Take(SeriesModel model);
  void ChooseFigure(std::size_t index);
  void ChoosePerson(int direction);
  void ChooseGroups();
  void Open(std::size_t point);
  const SeriesFigure* Figure() const;
  void DrawWords(const Scene& scene, const SeriesFigure& figure, float top, const ScreenRect& picture);

  const SheetCalls& calls_;
  bool shown_ = false;
  bool blind_ = false;
  std::string folder_;  // whose cases are looked at
  std::shared_ptr<const SeriesModel> model_;
  std::vector<SeriesFigure> figures_;
  std::string problem_;              // why there is no model
  std::vector<std::string> people_;  // of all cases of the folder
  std::string person_;               // empty: everyone
  std::string by_;                   // groups; empty: none
  std::string figure_;               // its name
  std::optional<std::size_t> point_;
  bool scroll_ = false;
  JobHandle building_;
  int asked_ = 0;  // what was asked for last is what is shown
};

}  // namespace afterscope
