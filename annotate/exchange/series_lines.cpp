// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/csv.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/series_json.hpp"
#include "annotate/store/json_text.hpp"

#include <functional>

namespace afterscope {
namespace {

using EachValue = std::function<void(const SeriesCase&, const SeriesMeasure&, const SeriesPoint&)>;

void ForEachValue(const SeriesModel& model, const EachValue& each) {
  for (const SeriesMeasure& measure : model.measures)
    for (const SeriesPoint& point : measure.points) each(model.cases[point.at], measure, point);
}

}  // namespace

std::string JsonLinesFromSeries(const SeriesModel& model) {
  std::string lines;
  ForEachValue(model, [&](const SeriesCase& entry, const SeriesMeasure& measure, const SeriesPoint& point) {
    const Json line{{"case", entry.code},
                    {"date", entry.date},
                    {"operator", entry.operator_code},
                    {"group", entry.group},
                    {"number", entry.number > 0 ? Json(entry.number) : Json()},
                    {"measure", measure.name},
                    {"step", measure.step},
                    {"unit", measure.unit},
                    {"value", point.value},
                    {"low", point.low},
                    {"high", point.high},
                    {"recording", point.frame ? Json(point.frame->recording) : Json()},
                    {"ticks", point.frame ? Json(point.frame->pts.ticks) : Json()},
                    {"folder", entry.folder}};
    lines += ExportedText(line, -1);
  });
  return lines;
}

std::string CsvFromSeries(const SeriesModel& model) {
  std::string table = CsvLine({"case", "date", "operator", "group", "number", "measure", "step", "unit",
                               "value", "low", "high", "recording", "ticks", "folder"});
  ForEachValue(model, [&](const SeriesCase& entry, const SeriesMeasure& measure, const SeriesPoint& point) {
    const auto frame = [&](auto part) { return point.frame ? std::to_string(part(*point.frame)) : ""; };
    table += CsvLine({CsvText(entry.code), entry.date, CsvText(entry.operator_code), CsvText(entry.group),
                      entry.number > 0 ? std::to_string(entry.number) : "", measure.name,
                      CsvText(measure.step), measure.unit, ExportedText(point.value), ExportedText(point.low),
                      ExportedText(point.high), frame([](const FrameRef& f) { return f.recording; }),
                      frame([](const FrameRef& f) { return f.pts.ticks; }), CsvText(entry.folder)});
  });
  return table;
}

}  // namespace afterscope
