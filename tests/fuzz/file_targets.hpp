// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

namespace afterscope {

// Targets (targets.hpp) for tables, caches in a case's folder, files to be shared, and messages of the
// decoding helper, which may have gone wrong.
void ReadCarried(std::string_view bytes);
void ReadFindings(std::string_view bytes);
void ReadFollowed(std::string_view bytes);
void ReadHelperMessage(std::string_view bytes);
void ReadOutcomes(std::string_view bytes);
void ReadSeriesPlan(std::string_view bytes);
void ReadSmallPictures(std::string_view bytes);
void ReadVoiceTakes(std::string_view bytes);

// Any text at all, as it goes into tables, pages and captions.
void ShowText(std::string_view bytes);

}  // namespace afterscope
