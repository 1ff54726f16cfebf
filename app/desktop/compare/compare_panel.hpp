// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/bottom_line.hpp"
#include "app/desktop/compare/compare_desk.hpp"
#include "app/desktop/look/finding_text.hpp"
#include "app/desktop/scene.hpp"

#include <vector>

namespace afterscope {

// The cases that are compared: their pictures side by side, each with how long its step has run; below two of
// them what was found, beside each other. Pictures are painted when ImGui is rendered.
void DrawCompare(CompareDesk& desk, const Scene& scene, const FindingLabels& labels, const Clarity& clarity,
                 const ScreenRect& area);

std::vector<KeyHint> CompareHints(const CompareDesk& desk, const Scene& scene);

}  // namespace afterscope
