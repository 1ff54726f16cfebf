// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/series/due_panel.hpp"
#include "app/desktop/series/find_panel.hpp"
#include "app/desktop/series/series_chart.hpp"
#include "app/desktop/series/series_figures.hpp"
#include "app/desktop/series/series_files.hpp"
#include "app/desktop/series/series_filter_panel.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The sheet of series, of which one page is shown at a time: figures (whose cases and which figure; its chart
// lies over the picture with its words below, each point leads to its case), stretches to be found and
// played, and what is due. A blind review is shown nothing of it. One thread.
class SeriesSheet {
 public:
  explicit SeriesSheet(const SheetCalls& calls) : calls_(calls), find_(calls), due_(calls) {}

  // Actions of the key map: "series figures", "series find", "series due" (its pages), "series cases" (which
  // of them), "series person", "series groups"; one for each paper ("series report", "series table",
  // "progress report", "portfolio", "logbook"); those that move through the page that is shown. False: not
  // one of these.
  bool Do(const std::string& action, const Scene& scene);
  // Outcomes and fields of the cases' own from a table; `open_folder`: of the case that is open.
  void TakeTable(const std::string& path, const std::string& open_folder);
  void Follow(const Scene& scene, bool shown);  // once a frame
  void Draw(const Scene& scene);
  void DrawOver(const Scene& scene, const ScreenRect& picture);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  bool Covers() const { return shown_ && page_ == Page::kFigures; }  // the chart lies over the picture

 private:
  enum class Page { kFigures, kFind, kDue };

  SeriesOptions Options() const;
  void Build();
  bool DoPage(const std::string& action);
  bool DoPaper(const std::string& action);
  bool DoChart(const std::string& action);
  void OpenChoice();
  void Write(SeriesPaper paper);
  void DrawPages(const Scene& scene);
  void DrawChoice(const Scene& scene);
  void DrawFigures(const Scene& scene);
  void DrawPapers(const Scene& scene);
  void Take(SeriesModel model);
  void ChooseFigure(std::size_t index);
  void ChoosePerson(int direction);
  void ChooseGroups();
  void Open(std::size_t point);
  const SeriesFigure* Figure() const;

  const SheetCalls& calls_;
  bool shown_ = false;
  bool blind_ = false;
  std::string folder_;  // whose cases are looked at
  std::shared_ptr<const SeriesModel> model_;
  std::vector<SeriesFigure> figures_;
  std::string problem_;              // why there is no model
  std::vector<std::string> people_;  // of all cases of the folder
  std::string person_;               // empty: everyone
  Page page_ = Page::kFigures;
  FindPanel find_;
  DuePanel due_;
  SeriesChoice choice_;
  bool choice_open_ = false;    // its fields are shown
  bool choice_wanted_ = false;  // the first of them is to be typed in
  TypedTexts typed_;
  std::string figure_;  // its name
  SeriesChart chart_;
  bool scroll_ = false;
  JobHandle building_;
  JobHandle writing_;
  int asked_ = 0;  // what was asked for last is what is shown
};

}  // namespace afterscope
