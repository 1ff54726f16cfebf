// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/score_sheet.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// The sheet of scores: the items of a score sheet beside the picture, each scored by a digit, with remarks
// and the moments that show it. One thread.
class ScoreDesk {
 public:
  explicit ScoreDesk(const SheetCalls& calls) : calls_(calls) {}

  // While the sheet is open its keys hold here; false: not one of them.
  bool Do(const std::string& action, const Scene& scene);
  bool Press(const KeyChord& chord, const Scene& scene);  // the digits
  void Follow(const Scene& scene, bool shown);            // once a frame
  void Draw(const Scene& scene);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  // Keeps a user's own form with the open case and scores by it.
  void Take(const ScoreSheet& sheet);

 private:
  void LoadSheets(const Scene& scene);
  void LoadSheet(const std::string& id);
  void NextSheet();
  void Choose(std::size_t index, const Scene& scene);
  void Give(const std::string& value, const Scene& scene);
  void Keep(const Score& score);
  void TakeBack(const Scene& scene);
  void AskRemark(const Scene& scene);
  void TieMoment(const Scene& scene);
  const ScoreItem* Item() const;
  void DrawItem(const Scene& scene, std::size_t index, const std::vector<Score>& scores);
  void DrawLevels(const Scene& scene, const ScoreItem& item, const Score* score);
  void DrawEvidence(const Scene& scene, const ScoreItem& item, const Score* score);
  void DrawSums(const Scene& scene, const std::vector<Score>& scores);

  const SheetCalls& calls_;
  std::string folder_;
  bool looked_ = false;  // for the sheets of this case
  std::vector<std::string> ids_;
  std::optional<ScoreSheet> sheet_;
  std::size_t item_ = 0;
  bool scroll_ = false;
};

}  // namespace afterscope
