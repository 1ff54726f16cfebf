// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/player/small_pictures.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/timeline/layout.hpp"
#include "app/desktop/timeline/quiet_line.hpp"

#include <imgui.h>

namespace afterscope {

// The dumb pass of the timeline: paints draw records. Rows in screen pixels.

struct RowSpan {
  float top = 0;
  float bottom = 0;
};

void PaintBands(const Scene& scene, ImDrawList* list, const std::vector<BandRecord>& bands, RowSpan row,
                const ImFont* font);
void PaintMoments(const Scene& scene, ImDrawList* list, const std::vector<MomentRecord>& moments,
                  RowSpan row);
// The sign of a kind of moment, about `size` high, in the middle at (x, y). Kinds differ in shape first.
void PaintMomentSign(const Look& look, ImDrawList* list, MomentKind kind, ImVec2 at, float size);
void PaintTicks(const Scene& scene, ImDrawList* list, const OperationLayout& layout, RowSpan row);
void PaintPictures(const Scene& scene, ImDrawList* list, const MomentLayout& layout, SmallPictures& small,
                   RowSpan row);
void PaintFrames(const Scene& scene, ImDrawList* list, const MomentLayout& layout, RowSpan row,
                 FrameRef chosen);
// Those of one lane.
void PaintBoundaries(const Scene& scene, ImDrawList* list, const std::vector<BoundaryRecord>& boundaries,
                     int lane, RowSpan handles, RowSpan all, std::optional<FrameRef> in_hand);
// The line with its name and range; what was set is drawn as steps.
void PaintQuietLine(const Scene& scene, ImDrawList* list, const QuietSeries& series, const Strip& strip,
                    RowSpan row);
void PaintPlayhead(const Scene& scene, ImDrawList* list, float x, RowSpan row);

// The order of a step in its list, for its tint; steps that the list does not have follow by name.
std::size_t TintOrder(const StepList& steps, const std::string& key);

}  // namespace afterscope
