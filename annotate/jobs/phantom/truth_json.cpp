// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/phantom/ideal_reviewer.hpp"
#include "annotate/jobs/phantom/phantom_truth.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr std::size_t kOutlineStep = 10;  // every tenth of an outline's 720 directions is written
constexpr const char* kToolColumns =
    "tools: name, in_eye, tip_x_px, tip_y_px, shaft_x_px, shaft_y_px, tip_x_mm (capsule), tip_y_mm (capsule)";

double Rounded(double value) { return std::round(value * 1e4) / 1e4; }

const char* NameOf(phantom::Tool tool) {
  switch (tool) {
    case phantom::Tool::kSidePortBlade:
      return "side port blade";
    case phantom::Tool::kKeratome:
      return "keratome";
    case phantom::Tool::kCannula:
      return "cannula";
    case phantom::Tool::kForceps:
      return "forceps";
    case phantom::Tool::kHandpiece:
      return "handpiece";
    case phantom::Tool::kAspiration:
      return "aspiration tip";
    case phantom::Tool::kSecondInstrument:
      return "second instrument";
    case phantom::Tool::kInjector:
      return "lens injector";
  }
  return "";
}

template <class Space>
Json Coordinates(const std::vector<Point<Space>>& points, std::size_t step) {
  Json out = Json::array();
  for (std::size_t i = 0; i < points.size(); i += step)
    out.push_back({Rounded(points[i].x), Rounded(points[i].y)});
  return out;
}

Json Place(FrameRef at) { return {{"recording", at.recording}, {"ticks", at.pts.ticks}}; }

Json EyeOf(const phantom::Scene& scene) {
  const phantom::EyeGeometry& eye = scene.eye;
  return {{"eye", eye.right_eye ? "right" : "left"},
          {"seat_dial_deg", eye.seat_deg},
          {"corneal_diameter_mm", Rounded(eye.corneal_diameter_mm)},
          {"corneal_diameter_is", "along the 0-180 degree meridian, middle of the grey transition"},
          {"corneal_height_mm", Rounded(eye.corneal_height_mm)},
          {"corneal_power_d", Rounded(eye.corneal_power_d)},
          {"chamber_depth_mm", Rounded(eye.chamber_depth_mm)},
          {"optic_depth_mm", Rounded(eye.optic_depth_mm)},
          {"optic_diameter_mm", eye.optic_diameter_mm},
          {"magnification_capsule", Rounded(eye.CapsuleMagnification())},
          {"magnification_optic", Rounded(eye.OpticMagnification())},
          {"magnification_is", "as seen length divided by true length, 1 / (1 - depth * power / 1.336)"}};
}

Json ValuesOf(const std::vector<TrueValue>& values) {
  Json out = Json::array();
  for (const TrueValue& value : values) {
    Json item = {{"name", value.name}, {"value", value.value}, {"unit", value.unit}};
    if (value.plane) item["plane"] = *value.plane;
    if (value.step) item["step"] = *value.step;
    if (value.operator_code) item["operator"] = *value.operator_code;
    if (value.mark) item["mark"] = value.mark->value;
    if (value.trail) item["trail"] = value.trail->value;
    if (value.recording) item["recording"] = *value.recording;
    out.push_back(std::move(item));
  }
  return out;
}

Json OutlineOf(const phantom::Phantom& phantom, const PhantomFrames& frames, double instant,
               const phantom::PolarShape& shape, double magnification, const char* plane) {
  const std::size_t i = std::min(frames.IndexAt(instant), frames.refs.size() - 1);
  const auto polygon = shape.Polygon();
  const auto seen = OutlinePx(phantom.scene(), phantom.Truth(frames.seconds[i]).eye, polygon, magnification);
  return {{"at", Place(frames.refs[i])},
          {"plane", plane},
          {"magnification", Rounded(magnification)},
          {"mm", Coordinates(polygon, kOutlineStep)},
          {"px", Coordinates(seen, kOutlineStep)}};
}

Json OutlinesOf(const phantom::Phantom& phantom, const PhantomFrames& frames) {
  const phantom::Scene& scene = phantom.scene();
  const phantom::Script& script = phantom.script();
  const double complete = CompletionInstant(script);
  const double final = FinalInstant(script);
  const double capsule = scene.eye.CapsuleMagnification();
  const double optic = scene.eye.OpticMagnification();
  const auto of = [&](double instant, const phantom::PolarShape& shape, double magnification,
                      const char* plane) {
    return OutlineOf(phantom, frames, instant, shape, magnification, plane);
  };
  return {{"limbus", of(complete, scene.eye.Limbus(), 1, "cornea")},
          {"pupil", of(complete, PupilShape(scene, script.pupil_mm.At(complete)), capsule, "capsule")},
          {"rhexis", of(complete, scene.rhexis, capsule, "capsule")},
          {"rhexis over optic", of(final, scene.rhexis, optic, "lens")},
          {"lens edge", of(final, OpticShape(scene, script, final), optic, "lens")}};
}

Json StepsOf(const phantom::Script& script, const PhantomFrames& frames) {
  Json out = Json::array();
  for (const phantom::StepSpan& step : script.steps) {
    Json item = {
        {"step", step.key}, {"start", Place(frames.At(step.start_s))}, {"end", Place(frames.At(step.end_s))}};
    if (step.taken_over_s) item["taken_over"] = Place(frames.At(*step.taken_over_s));
    out.push_back(std::move(item));
  }
  return out;
}

// One line a frame: where the eye is and where each instrument's tip is.
Json FramesOf(const phantom::Phantom& phantom, const PhantomFrames& frames) {
  Json out = Json::array();
  for (std::size_t i = 0; i < frames.refs.size(); ++i) {
    const phantom::InstantTruth truth = phantom.Truth(frames.seconds[i]);
    Json tools = Json::array();
    for (const phantom::ToolTruth& tool : truth.tools)
      tools.push_back({NameOf(tool.tool), tool.in_eye, Rounded(tool.tip.x), Rounded(tool.tip.y),
                       Rounded(tool.shaft.x), Rounded(tool.shaft.y), Rounded(tool.tip_mm.x),
                       Rounded(tool.tip_mm.y)});
    out.push_back({frames.refs[i].recording, frames.refs[i].pts.ticks, Rounded(truth.eye.origin.x),
                   Rounded(truth.eye.origin.y), Rounded(truth.eye.px_per_mm), Rounded(truth.eye.turn),
                   Rounded(truth.pupil_mm), std::move(tools)});
  }
  return out;
}

}  // namespace

Json TruthJson(const phantom::Phantom& phantom, const PhantomFrames& frames,
               const std::vector<TrueValue>& values, const PathBand& band) {
  Json events = Json::array();
  for (const phantom::Event& event : phantom.script().events)
    events.push_back({{"at", Place(frames.At(event.at_s))},
                      {"kind", event.kind},
                      {"key", event.key},
                      {"text", event.text}});
  return {{"format", "afterscope truth"},
          {"version", "1.0"},
          {"about",
           "Invented by a phantom. Millimetres lie in the eye's own frame as the surgeon sees it: x right, y "
           "down, (0, 0) on the "
           "optical axis. Each length names its plane; what lies behind the cornea is given in true length "
           "unless its name ends "
           "in .as_seen. Pixels are of the decoded picture, (0, 0) the centre of the top left one."},
          {"seed", phantom.scene().seed},
          {"eye", EyeOf(phantom.scene())},
          {"pixel_aspect", phantom.scene().pixel_aspect.value()},
          {"path_band",
           {{"half_power_hz", band.half_power_hz},
            {"cutoff_hz", Rounded(band.cutoff_hz())},
            {"gain", "1 / (1 + (f / cutoff_hz)^4), without phase"}}},
          {"values", ValuesOf(values)},
          {"outlines", OutlinesOf(phantom, frames)},
          {"steps", StepsOf(phantom.script(), frames)},
          {"events", events},
          {"frame_columns",
           {"recording", "ticks", "eye_x_sq", "eye_y_sq", "px_per_mm", "turn_rad", "pupil_mm", kToolColumns}},
          {"frames", FramesOf(phantom, frames)}};
}

}  // namespace afterscope
