// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/agreement_json.hpp"

#include "annotate/exchange/computed_json.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

using exchange::From;
using exchange::Json;
using exchange::LimitedFrom;
using exchange::ListOf;

Json OrNull(const std::optional<Quartiles>& q) { return q ? From(*q) : Json(); }

Json BoundariesJson(const BoundaryDifference& b, const std::vector<std::string>& steps) {
  const auto name = [&](int label) { return steps[static_cast<std::size_t>(label)]; };
  return {{"matched", ListOf(b.matched,
                             [&](const MatchedVisit& m) {
                               return Json{{"step", name(m.label)},
                                           {"start_s", m.start_difference_s},
                                           {"end_s", m.end_difference_s},
                                           {"overlap", m.overlap}};
                             })},
          {"only_first", b.only_a.size()},
          {"only_second", b.only_b.size()},
          {"start_size_s", OrNull(b.start_size_s)},
          {"end_size_s", OrNull(b.end_size_s)},
          {"start_s", OrNull(b.start_s)},
          {"end_s", OrNull(b.end_s)},
          {"method", b.method},
          {"cautions", b.cautions}};
}

Json TimelineJson(const TimelineAgreement& t) {
  Json out{{"case", t.case_code}, {"first", t.first}, {"second", t.second}};
  exchange::Put(out, "boundaries", t.boundaries,
                [&](const BoundaryDifference& b) { return BoundariesJson(b, t.steps); });
  exchange::Put(out, "steps", t.overlaps, [&](const std::vector<StepOverlap>& overlaps) {
    return ListOf(overlaps, [&](const StepOverlap& o) {
      return Json{{"step", t.steps[static_cast<std::size_t>(o.label)]}, {"iou", o.iou}, {"dice", o.dice}};
    });
  });
  for (std::size_t i = 0; i < t.f1.size(); ++i)
    exchange::Put(out, fmt::format("f1_at_{:.0f}", 100 * kUsualOverlaps[i]), t.f1[i],
                  [](const VisitF1& f) { return Json(f.f1); });
  exchange::Put(out, "edit_score", t.order, [](const EditScore& e) { return Json(e.score); });
  exchange::Put(out, "by_frame", t.frames, [](const FrameAgreement& f) {
    return Json{{"kappa", f.kappa}, {"accuracy", f.accuracy}, {"method", f.method}, {"cautions", f.cautions}};
  });
  out["differences"] = ListOf(t.differences, [](const TimelineDifference& d) {
    return Json{{"start_s", d.start_s}, {"end_s", d.end_s}, {"first", d.first}, {"second", d.second}};
  });
  return out;
}

Json KappaJson(const Kappa& k) {
  return {{"kappa", LimitedFrom(k.kappa, k.has_limits)},
          {"observed", k.observed},
          {"expected", k.expected},
          {"method", k.method},
          {"cautions", k.cautions}};
}

Json ScoreJson(const ScoreAgreement& s) {
  Json out{{"sheet", s.sheet}, {"first", s.first}, {"second", s.second},
           {"cases", s.cases}, {"pairs", s.pairs}, {"only_one", s.only_one}};
  exchange::Put(out, "weighted_kappa_linear", s.linear, KappaJson);
  exchange::Put(out, "weighted_kappa_quadratic", s.quadratic, KappaJson);
  return out;
}

Json IccJson(const ScoreIcc& icc) {
  constexpr const char* kForms[] = {"agreement_single", "consistency_single", "agreement_average",
                                    "consistency_average"};
  Json out{{"sheet", icc.sheet},
           {"over", icc.over == IccOver::kItems ? "items" : "cases"},
           {"reviewers", icc.reviewers},
           {"cases", icc.cases},
           {"items", icc.items}};
  for (std::size_t i = 0; i < icc.forms.size(); ++i)
    exchange::Put(out, kForms[i], icc.forms[i], [](const Icc& value) {
      return Json{{"icc", LimitedFrom(value.icc, value.has_limits)},
                  {"p", value.has_limits ? Json(value.p) : Json()},
                  {"method", value.method},
                  {"cautions", value.cautions}};
    });
  return out;
}

Json ValueJson(const ValueAgreement& v) {
  Json out{{"name", v.name},
           {"step", v.step.empty() ? Json() : Json(v.step)},
           {"unit", v.unit},
           {"first", v.first},
           {"second", v.second},
           {"cases", v.cases},
           {"mean_difference", v.mean_difference}};
  exchange::Put(out, "limits_of_agreement", v.limits, [](const LimitsOfAgreement& l) {
    return Json{{"mean_difference", From(l.mean_difference)},
                {"sd", l.sd},
                {"lower", From(l.lower)},
                {"upper", From(l.upper)},
                {"method", l.method},
                {"cautions", l.cautions}};
  });
  return out;
}

Json RepeatedJson(const MarkRepeatability& r) {
  Json out{{"name", r.name}, {"unit", r.unit}, {"reviewer", r.reviewer}};
  exchange::Put(out, "repeatability", r.repeatability, [](const Repeatability& v) {
    return Json{{"things", v.things},
                {"within_sd", From(v.within_sd)},
                {"coefficient", From(v.coefficient)},
                {"method", v.method},
                {"cautions", v.cautions}};
  });
  return out;
}

}  // namespace

nlohmann::ordered_json JsonFromAgreement(const AgreementModel& model) {
  return {{"timelines", ListOf(model.timelines, TimelineJson)},
          {"scores", ListOf(model.scores, ScoreJson)},
          {"icc", ListOf(model.icc, IccJson)},
          {"values", ListOf(model.values, ValueJson)},
          {"repeated", ListOf(model.repeated, RepeatedJson)},
          {"cautions", model.cautions}};
}

}  // namespace afterscope
