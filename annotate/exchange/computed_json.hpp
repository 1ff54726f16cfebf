// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_model.hpp"

#include <nlohmann/json.hpp>

#include <string>
#include <vector>

namespace afterscope::exchange {

using Json = nlohmann::ordered_json;

inline Json From(double value) { return value; }
inline Json From(const Estimate& e) {
  return {{"value", e.value}, {"low", e.low}, {"high", e.high}, {"level", e.level}};
}
// A value whose limits may say nothing: they are null then.
inline Json LimitedFrom(const Estimate& e, bool has_limits) {
  if (has_limits) return From(e);
  return {{"value", e.value}, {"low", nullptr}, {"high", nullptr}, {"level", nullptr}};
}
inline Json From(const Quartiles& q) {
  return {{"n", q.n},           {"least", q.least},          {"lower_quartile", q.lower},
          {"median", q.median}, {"upper_quartile", q.upper}, {"most", q.most}};
}

// The figure as `From` writes it; else null under `name`, and the reason under `name`_reason.
template <class T, class Writer>
void Put(Json& out, const std::string& name, const Computed<T>& figure, Writer from) {
  out[name] = figure.value ? from(*figure.value) : Json();
  if (!figure.value) out[name + "_reason"] = figure.reason;
}

template <class Item, class Writer>
Json ListOf(const std::vector<Item>& items, Writer each) {
  Json out = Json::array();
  for (const Item& item : items) out.push_back(each(item));
  return out;
}

}  // namespace afterscope::exchange
