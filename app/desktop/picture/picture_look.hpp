// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/clarity.hpp"

#include <string>

namespace afterscope {

// How the user looks at pictures, whichever case is open. Kept with the window's settings, never in a case.
struct PictureLook {
  Clarity clarity;
  bool magnifier = false;
  // For a while only:
  bool untouched = false;  // the picture as recorded, whatever `clarity` says
  bool panel = false;      // the controls are open
  bool counts = false;     // what became of the pictures that were played is said

  Clarity Shown() const;
};

// What a key does to it, by its name in the key map; false where it is none of these.
bool DoPictureLook(PictureLook& look, const std::string& action);

// What differs from the recorded picture, in words: "exposure +1/2 stop, contrast 120 %"; empty: nothing.
std::string LookWords(const PictureLook& look);

}  // namespace afterscope
