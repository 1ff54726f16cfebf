// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/report_page.hpp"
#include "app/common/job_scope.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/gl/texture.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct ReportModel;

// The pages of a report over the picture, as they are in the file. Each is drawn in the background when it is
// turned to. One thread, with the GL context current.
class ReportView {
 public:
  ReportView(JobRunner& jobs, const GlApi& gl) : gl_(gl), jobs_(jobs) {}

  // Once a frame: opens by itself when another report of the case was written, closes where there is none.
  void Follow(const std::shared_ptr<const ReportModel>& report);
  // Pages of something else that was written.
  void Show(PageMaker maker);
  bool open() const { return open_; }
  // Opens the case's report again; turns and scrolls while it is open, which playing and other screens end.
  // False where the action is still to be done.
  bool Do(const std::string& action);
  void Draw(const Scene& scene, const ScreenRect& area);
  std::vector<KeyHint> Hints(const Scene& scene) const;

 private:
  void TurnTo(int page);
  void DrawPage(const Scene& scene);

  const GlApi& gl_;
  JobScope jobs_;
  std::shared_ptr<const ReportModel> model_;  // of the case
  PageMaker maker_;                           // of what is shown
  bool open_ = false;
  std::optional<Texture> shown_;
  int page_ = 1;
  int pages_ = 0;  // 0: not known yet
  std::string problem_;
  float scroll_by_ = 0;     // asked for by keys, in parts of the height
  bool scroll_up_ = false;  // to the top of the page
};

}  // namespace afterscope
