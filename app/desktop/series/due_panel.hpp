// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_follow_ups.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What has to be looked at again in the cases of a folder: due and overdue first, then what is to come; each
// leads to its case and can be ticked off. One thread.
class DuePanel {
 public:
  explicit DuePanel(const SheetCalls& calls) : calls_(calls) {}

  // Goes from one to the next, opens the case of the chosen one, ticks it off ("follow-up done").
  bool Do(const std::string& action, const Scene& scene);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  void Draw(const Scene& scene, const std::string& folder);
  void Leave() { folder_.clear(); }  // it is looked through again when it is shown next

 private:
  void LookThrough(const std::string& folder);
  void DrawFollowUp(const Scene& scene, std::size_t index);
  void TickOff(const FollowUp& follow_up, const std::string& open_folder);

  const SheetCalls& calls_;
  std::string folder_;
  std::vector<FollowUp> follow_ups_;
  std::vector<std::string> cautions_;
  std::optional<std::size_t> chosen_;
  bool scroll_ = false;
  JobHandle looking_;
  int asked_ = 0;
};

}  // namespace afterscope
