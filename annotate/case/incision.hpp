// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace afterscope {

// What kind of incision a mark is, by its field `name`, else by its text: a side port where that holds
// "side", a scleral tunnel where it holds "tunnel", else a main incision.
enum class IncisionKind { kMain, kSidePort, kTunnel };

std::string NameOfIncision(const Mark& incision);  // empty: never named
IncisionKind KindOfIncision(const Mark& incision);
inline bool IsTunnel(const Mark& mark) {
  return mark.kind == MarkKind::kIncision && KindOfIncision(mark) == IncisionKind::kTunnel;
}
// "main incision", "side port", "tunnel".
const char* WordOf(IncisionKind kind);
// Names it so. Only a tunnel's groove is curved: of the others the two ends are kept.
void SetKind(Mark& incision, IncisionKind kind);

// Where a tunnel can be taken hold of: its points, then the middle of each straight piece between two.
std::vector<PointPx> GripsOfTunnel(const Mark& tunnel);
// Moves a point, or makes one where a piece's middle was taken. Nothing for a grip that is not there.
void MoveGripOfTunnel(Mark& tunnel, std::size_t grip, PointPx to);

}  // namespace afterscope
