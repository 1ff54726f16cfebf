// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/finding_json.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace afterscope {

namespace {

using Json = nlohmann::ordered_json;

// JSON has no NaN and no infinity.
Json Number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

template <class IdOrText>
Json OrNull(const std::optional<IdOrText>& value) {
  if (!value) return nullptr;
  if constexpr (std::is_same_v<IdOrText, std::string>)
    return *value;
  else
    return value->value;
}

}  // namespace

Json JsonFromFrame(FrameRef frame) { return {{"recording", frame.recording}, {"ticks", frame.pts.ticks}}; }

Json JsonFromFinding(const Finding& finding) {
  const std::optional<Estimate>& estimate = finding.measured.estimate;
  Json json;
  json["name"] = finding.name;
  json["value"] = estimate ? Number(estimate->value) : Json(nullptr);
  json["unit"] = finding.measured.unit;
  const bool limits = estimate && estimate->HasLimits();
  json["low"] = limits ? Number(estimate->low) : Json(nullptr);
  json["high"] = limits ? Number(estimate->high) : Json(nullptr);
  json["level"] = limits ? Number(estimate->level) : Json(nullptr);
  json["step"] = OrNull(finding.step);
  json["operator"] = OrNull(finding.operator_code);
  json["frames"] = Json::array();
  for (const FrameRef& frame : finding.frames) json["frames"].push_back(JsonFromFrame(frame));
  json["marks"] = Json::array();
  for (const MarkId& mark : finding.marks) json["marks"].push_back(mark.value);
  json["trail"] = OrNull(finding.trail);
  json["scale"] = OrNull(finding.scale);
  json["method"] = finding.measured.method;
  json["cautions"] = finding.measured.cautions;
  json["input_digest"] = finding.input_digest;
  return json;
}

}  // namespace afterscope
