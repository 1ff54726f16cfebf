// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/incision.hpp"
#include "annotate/report/build/parts.hpp"
#include "metrics/picture/yuv_to_rgb.hpp"

#include <algorithm>

namespace afterscope {

namespace {

// What the first of the marks is called; empty where it has no name.
std::string NameOfIncisionIn(const Review& review, const std::vector<MarkId>& marks) {
  for (const Mark& mark : review.marks)
    if (!marks.empty() && mark.id == marks.front()) return NameOfIncision(mark);
  return "";
}

}  // namespace

std::string FillBraces(const std::string& pattern, const std::vector<std::string>& values) {
  std::string out;
  std::size_t at = 0;
  for (const std::string& value : values) {
    const std::size_t brace = pattern.find("{}", at);
    if (brace == std::string::npos) break;
    out.append(pattern, at, brace - at).append(value);
    at = brace + 2;
  }
  return out.append(pattern, at);
}

std::string ReportBuild::NameOf(const std::string& key) const {
  const auto found = in.names.find(key);
  if (found != in.names.end()) return found->second;
  std::string plain = key;
  std::replace(plain.begin(), plain.end(), '_', ' ');
  return plain;
}

std::string ReportBuild::OwnCode() const {
  return in.record.operator_code.empty() ? "operator" : in.record.operator_code;
}

ShownPicture ReportBuild::ShownOf(FrameRef at) const {
  if (at.recording < 0 || at.recording >= static_cast<int>(in.record.recordings.size())) return {};
  const RecordingShape& shape = in.record.recordings[static_cast<std::size_t>(at.recording)].shape;
  return ShownPicture::Of(shape.width, shape.height, shape.pixel_aspect, shape.rotation_deg);
}

ReportFinding ReportBuild::Present(const Finding& finding) const {
  ReportFinding shown{finding, in.words.LabelOf(finding.name), {}};
  if (finding.step) shown.label += ": " + in.steps.NameOf(*finding.step);
  const bool of_incision = finding.name.starts_with("incision.") || finding.name.starts_with("tunnel.");
  if (of_incision && finding.name != "incision.angle_between")
    if (const std::string name = NameOfIncisionIn(in.review, finding.marks);
        !name.empty() && !(finding.name.starts_with("tunnel.") && name == "tunnel"))
      shown.label += ": " + name;
  for (const FrameRef& frame : finding.frames) shown.frames.push_back(FrameOf(frame));
  return shown;
}

ReportFinding ReportBuild::PresentWithOperator(const Finding& finding) const {
  ReportFinding shown = Present(finding);
  if (finding.operator_code) shown.label += " (" + *finding.operator_code + ")";
  return shown;
}

const Finding* ReportBuild::Find(const std::string& name, const std::optional<std::string>& step,
                                 const std::optional<std::string>& operator_code) const {
  const auto found = std::find_if(in.findings.begin(), in.findings.end(), [&](const Finding& f) {
    return f.name == name && f.step == step && f.operator_code == operator_code;
  });
  return found == in.findings.end() ? nullptr : &*found;
}

std::optional<PictureIndex> ReportBuild::AddPicture(FrameRef at, const Review& shown,
                                                    const OverlayOptions& options, std::string caption,
                                                    int most_px) {
  if (!in.frames) return std::nullopt;
  ReportPicture out;
  out.frame = FrameOf(at);
  out.caption = std::move(caption);
  const Result<Picture> picture = in.frames(at);
  if (picture.ok() && !picture->empty()) {
    out.image = ToSmallRgb(*picture, most_px, most_px);
    out.shown = ShownPicture::Of(*picture);
    out.shapes = BuildShapes(in.record, shown, at, options);
    out.damaged = picture->damaged;
  } else {
    out.missing = FillBraces(Text("picture.missing"), {picture.ok() ? "" : picture.error().message});
  }
  model.pictures.push_back(std::move(out));
  return model.pictures.size() - 1;
}

std::optional<ReportPicture::Part> SquareAround(const std::vector<PointSq>& points, double air,
                                                const ShownPicture& shown) {
  if (points.size() < 2) return std::nullopt;
  double x0 = 1e18, x1 = -1e18, y0 = 1e18, y1 = -1e18;
  for (const PointSq p : points) {
    const ShownPicture::Spot spot = shown.FromSq(p);
    x0 = std::min(x0, spot.x), x1 = std::max(x1, spot.x);
    y0 = std::min(y0, spot.y), y1 = std::max(y1, spot.y);
  }
  const double side = std::max(x1 - x0, y1 - y0) * air;
  if (!(side > 1)) return std::nullopt;
  const double left = std::max(0.0, (x0 + x1 - side) / 2),
               right = std::min(shown.Width(), (x0 + x1 + side) / 2);
  const double top = std::max(0.0, (y0 + y1 - side) / 2),
               bottom = std::min(shown.Height(), (y0 + y1 + side) / 2);
  if (!(right - left > 1 && bottom - top > 1)) return std::nullopt;
  return ReportPicture::Part{left, top, right - left, bottom - top};
}

std::size_t StepOrder(const ReportBuild& build, const std::string& step) {
  const auto& known = build.in.steps.steps;
  const auto found =
      std::find_if(known.begin(), known.end(), [&](const StepKind& k) { return k.key == step; });
  if (found != known.end()) return static_cast<std::size_t>(found - known.begin());
  std::vector<std::string> others;
  for (const StepVisit& visit : build.in.review.visits)
    if (!build.in.steps.Find(visit.step) &&
        std::find(others.begin(), others.end(), visit.step) == others.end())
      others.push_back(visit.step);
  return known.size() +
         static_cast<std::size_t>(std::find(others.begin(), others.end(), step) - others.begin());
}

}  // namespace afterscope
