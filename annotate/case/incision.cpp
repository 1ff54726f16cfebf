// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/incision.hpp"

namespace afterscope {

std::string NameOfIncision(const Mark& incision) {
  const auto name = incision.fields.find("name");
  return name != incision.fields.end() && !name->second.empty() ? name->second : incision.text;
}

IncisionKind KindOfIncision(const Mark& incision) {
  const std::string name = NameOfIncision(incision);
  if (name.find("tunnel") != std::string::npos) return IncisionKind::kTunnel;
  return name.find("side") != std::string::npos ? IncisionKind::kSidePort : IncisionKind::kMain;
}

const char* WordOf(IncisionKind kind) {
  switch (kind) {
    case IncisionKind::kSidePort:
      return "side port";
    case IncisionKind::kTunnel:
      return "tunnel";
    case IncisionKind::kMain:
      break;
  }
  return "main incision";
}

void SetKind(Mark& incision, IncisionKind kind) {
  incision.fields["name"] = WordOf(kind);
  if (kind != IncisionKind::kTunnel && incision.points.size() > 2)
    incision.points = {incision.points.front(), incision.points.back()};
}

std::vector<PointPx> GripsOfTunnel(const Mark& tunnel) {
  std::vector<PointPx> grips = tunnel.points;
  for (std::size_t i = 1; i < tunnel.points.size(); ++i)
    grips.push_back(Lerp(tunnel.points[i - 1], tunnel.points[i], 0.5));
  return grips;
}

void MoveGripOfTunnel(Mark& tunnel, std::size_t grip, PointPx to) {
  const std::size_t count = tunnel.points.size();
  if (grip < count)
    tunnel.points[grip] = to;
  else if (grip + 1 < 2 * count)
    tunnel.points.insert(tunnel.points.begin() + static_cast<std::ptrdiff_t>(grip - count + 1), to);
}

}  // namespace afterscope
