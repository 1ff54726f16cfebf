// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/picture/clarity.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace afterscope {

// How the window was left: kept apart from any case, so that looking at one never changes it.
struct ViewSettings {
  bool light = false;
  int scale_pct = 100;  // 90 to 200
  int sheet = 1;        // position of the sheet's word
  bool folded = false;
  int sheet_width = 368;  // in pixels of the design, see SheetWidthInRange
  double moment_seconds = 4;
  int volume_pct = 80;  // 0 to 100
  bool muted = false;
  Clarity clarity;
  bool magnifier = false;
  std::string quiet_line;  // the name of what the quiet line shows
  int width = 1280;
  int height = 760;
  std::vector<std::string> recent;  // the newest first
  std::string reviewer_code;        // the user's own; empty: never given
  std::string blinded_folder;       // whose cases are reviewed without their names; empty: none
  bool blinded_formal = false;      // of what kind such reviews are
  struct ChosenReview {
    std::string folder;
    std::string review;
  };
  std::vector<ChosenReview> reviews;  // chosen where a case has several, the newest first
  std::set<std::string> on_disk;      // the paths that the file named when it was last loaded or saved
};

// The nearest width of the sheet at which it can be read and leaves room for the picture.
constexpr int SheetWidthInRange(int width) { return std::clamp(width, 220, 800); }

// The user's own keys: keys.json in UserConfigFolder(); empty where there is none.
std::string OwnKeysPath();
// What can't be read counts as never written.
ViewSettings LoadViewSettings(const std::string& path, FileSystem& files = RealFileSystem());
// Paths that the file named before and does not now are dropped: somebody had them forgotten meanwhile; so
// are new ones that are gone again. Others stay: a drive may be unplugged. What another window has opened
// since is kept behind the own ones. Where it fails, the file is the old one or the new one. An empty path:
// nothing is kept.
Status SaveViewSettings(const std::string& path, ViewSettings& settings,
                        FileSystem& files = RealFileSystem());

// Puts a path in front; keeps the newest twelve.
void Remember(ViewSettings& settings, const std::string& path);

// The review that was chosen in a case folder last; empty: none. Keeps those of the newest hundred folders.
std::string RememberedReview(const ViewSettings& settings, const std::string& folder);
void RememberReview(ViewSettings& settings, const std::string& folder, const std::string& review);
void ForgetReview(ViewSettings& settings, const std::string& folder);

}  // namespace afterscope
