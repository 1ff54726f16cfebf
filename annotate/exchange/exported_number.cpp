// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <utility>

namespace afterscope {
namespace {

void RoundIn(nlohmann::ordered_json& json) {
  if (json.is_number_float()) json = ExportedNumber(json.get<double>());
  if (json.is_structured())
    for (auto& item : json) RoundIn(item);
}

}  // namespace

double ExportedNumber(double value) {
  if (!std::isfinite(value) || value == 0) return std::isfinite(value) ? 0.0 : value;  // never -0
  return NumberFrom(fmt::format("{:.10g}", value)).value_or(value);
}

std::string ExportedText(double value) {
  return std::isfinite(value) ? TextFrom(ExportedNumber(value)) : std::string();
}

nlohmann::ordered_json WithExportedNumbers(nlohmann::ordered_json json) {
  RoundIn(json);
  return json;
}

std::string ExportedText(const nlohmann::ordered_json& json, int indent) {
  return WithExportedNumbers(json).dump(indent, ' ', false,
                                        nlohmann::ordered_json::error_handler_t::replace) +
         "\n";
}

}  // namespace afterscope
