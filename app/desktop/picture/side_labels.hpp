// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "app/desktop/look/look.hpp"
#include "app/desktop/picture/picture_view.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A side of the eye, near the edge of the shown picture.
struct SideLabel {
  std::string word;
  ShownPicture::Spot at;
};

// Superior and inferior, and nasal and temporal where the eye is known, as the case says the recording shows
// them, to be confirmed by looking. None where the surgeon's seat is not known.
std::vector<SideLabel> SideLabels(const CaseRecord& record, int recording, const ShownPicture& shown);

void PaintSideLabels(const Look& look, ImDrawList* list, const std::vector<SideLabel>& labels,
                     const ScreenFromShown& placed, const ScreenRect& area);

}  // namespace afterscope
