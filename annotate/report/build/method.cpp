// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

namespace afterscope {

namespace {

const Mark* MarkOf(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& m) { return m.id == id; });
  return found == review.marks.end() ? nullptr : &*found;
}

std::string Millimetres(double mm) { return fmt::format("{:g}", mm); }

std::string SourceText(const ReportBuild& build, const ScaleDef& scale) {
  if (scale.source == ScaleSource::kLimbus) {
    const auto mm = scale.known_mm ? scale.known_mm : build.in.record.corneal_diameter_mm;
    return build.Filled("scale.limbus", mm ? build.Filled("scale.limbus.eye", Millimetres(*mm))
                                           : build.Text("scale.limbus.population"));
  }
  if (!scale.known_mm) return build.Text("scale.object.unknown");
  return build.Filled(scale.source == ScaleSource::kRuler ? "scale.ruler" : "scale.object",
                      Millimetres(*scale.known_mm));
}

std::string PlaneKey(Plane plane) {
  constexpr std::array<const char*, 4> kKeys{"scale.plane.cornea", "scale.plane.capsule", "scale.plane.lens",
                                             "scale.plane.sclera"};
  return kKeys.at(static_cast<std::size_t>(plane));
}

void AddScales(ReportBuild& build) {
  for (const ScaleDef& scale : build.in.review.scales) {
    const Mark* mark = MarkOf(build.in.review, scale.mark);
    std::string text = SourceText(build, scale) + "; " + build.Text(PlaneKey(scale.plane));
    if (mark && !mark->text.empty()) text = fmt::format("{}: {}", mark->text, text);
    build.model.scales.push_back({scale.id, std::move(text), build.FrameOf(mark ? mark->at : FrameRef{})});
  }
}

void AddRecordings(ReportBuild& build) {
  double start = 0;
  for (const RecordingRef& ref : build.in.record.recordings) {
    ReportRecording out;
    const Fingerprint& print = ref.fingerprint;
    if (!ref.path.empty())
      out.fingerprint = !print.full_sha256.empty() ? build.Filled("recording.verified", print.full_sha256)
                        : !print.sampled_sha256.empty()
                            ? build.Filled("recording.sampled", print.sampled_sha256)
                            : build.Text("recording.unknown");
    const RecordingShape& shape = ref.shape;
    const double length = (shape.end - shape.first).Seconds(shape.time_base);
    if (ref.path.empty())
      out.description = build.Text("recording.none");
    else
      out.description = fmt::format(
          "{}, {}\u2009×\u2009{} px, {}/{} s per tick, {}", FormatLength(length), shape.width, shape.height,
          shape.time_base.num, shape.time_base.den,
          build.Text(shape.verified ? "recording.table.verified" : "recording.table.provisional"));
    out.start_seconds = start;
    start += std::max(0.0, length);
    build.model.recordings.push_back(std::move(out));
  }
}

bool IsLine(MarkKind kind) {
  return kind == MarkKind::kRuler || kind == MarkKind::kObject || kind == MarkKind::kIncision;
}

std::string MarksText(const ReportBuild& build) {
  const Review& review = build.in.review;
  const auto count = [&](auto wanted) {
    return std::to_string(std::count_if(review.marks.begin(), review.marks.end(),
                                        [&](const Mark& m) { return wanted(m.kind); }));
  };
  std::set<FrameRef> frames;
  for (const Mark& mark : review.marks) frames.insert(mark.at);
  std::array<int, 3> by_source{};
  int points = 0;
  for (const Trail& trail : review.trails)
    for (const TrailPoint& point : trail.points) {
      ++by_source.at(static_cast<std::size_t>(point.source));
      ++points;
      frames.insert(point.at);
    }
  return build.Filled("method.marks.value", count(IsOutline), count(IsLine),
                      std::to_string(review.trails.size()), std::to_string(points),
                      std::to_string(by_source[0]), std::to_string(by_source[1]),
                      std::to_string(by_source[2]), std::to_string(frames.size()));
}

// One line a method that gave something, with the name of the first thing it gave.
void AddMethods(ReportBuild& build) {
  std::vector<std::pair<std::string, std::vector<std::string>>> methods;
  for (const Finding& finding : build.in.findings) {
    const std::string& method = finding.measured.method;
    if (method.empty() || !finding.measured.estimate) continue;
    auto found =
        std::find_if(methods.begin(), methods.end(), [&](const auto& m) { return m.first == method; });
    if (found == methods.end()) found = methods.insert(methods.end(), {method, {}});
    if (std::find(found->second.begin(), found->second.end(), finding.name) == found->second.end())
      found->second.push_back(finding.name);
  }
  for (const auto& [method, names] : methods) build.model.method.emplace_back(names.front(), method);
}

}  // namespace

void FillMethod(ReportBuild& build) {
  AddScales(build);
  AddRecordings(build);
  auto& method = build.model.method;
  method.emplace_back(build.Text("method.clock"), build.Text("method.clock.value"));
  method.emplace_back(build.Text("method.marks"), MarksText(build));
  method.emplace_back(build.Text("method.error"), build.Text("method.error.value"));
  method.emplace_back(build.Text("method.planes"), build.Text("method.planes.value"));
  method.emplace_back(build.Text("method.version"), build.in.program_version);
  method.emplace_back(build.Text("method.journal"),
                      build.in.journal_head.empty()
                          ? build.Text("method.journal.none")
                          : build.Filled("method.journal.value", build.in.journal_head));
  AddMethods(build);
}

void FillCautions(ReportBuild& build) {
  std::vector<std::string>& out = build.model.cautions;
  const auto add = [&](const std::string& text) {
    if (!text.empty() && std::find(out.begin(), out.end(), text) == out.end()) out.push_back(text);
  };
  if (!build.in.frames) add(build.Text("picture.no_recording"));
  for (const std::string& caution : build.in.cautions) add(caution);
  for (const std::string& caution : build.in.words.cautions) add(caution);
}

}  // namespace afterscope
