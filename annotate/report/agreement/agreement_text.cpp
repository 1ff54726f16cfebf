// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/agreement/agreement_text.hpp"

#include "annotate/report/build/parts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <utility>

namespace afterscope {
namespace {

class AgreementTextLines {
 public:
  explicit AgreementTextLines(const ReportWords& words) : words_(words) {}

  void Add(const TimelineAgreement& timelines);
  void Add(const ScoreAgreement& scores);
  void Add(const ScoreIcc& icc);
  void Add(const ValueAgreement& value);
  void Add(const MarkRepeatability& repeated);
  void AddRough(const std::vector<ValueAgreement>& values);
  template <class Item>
  void AddAll(const std::vector<Item>& items) {
    for (const Item& item : items) Add(item);
  }
  std::vector<std::string> Take() { return std::move(lines_); }

 private:
  std::string Text(const std::string& key, std::initializer_list<std::string> values = {}) const {
    return FillBraces(words_.Text("agree." + key), values);
  }
  std::string Counted(std::size_t count, const char* one, const char* many) const {
    return count == 1 ? Text(one) : Text(many, {fmt::format("{}", count)});
  }
  std::string Cases(std::size_t count) const { return Counted(count, "case", "cases"); }
  std::string Items(std::size_t count) const { return Counted(count, "item", "items"); }
  std::string Boundary(const std::optional<Quartiles>& q) const {
    return q ? Text("boundary", {FormatLength(q->median), FormatLength(q->most)}) : Text("boundary.none");
  }
  std::string WithLimits(const Estimate& e, bool has_limits) const;
  std::string ValueText(const ValueAgreement& value) const;
  // A line under a heading: what is told, and its figure or why there is none.
  template <class T, class Figure>
  void Line(const std::string& what, const Computed<T>& computed, Figure figure) {
    lines_.push_back(
        fmt::format("  {:<31} {}", what, computed.value ? figure(*computed.value) : computed.reason));
  }
  // What several figures have in common is said once, below them.
  template <class T>
  void Note(const Computed<T>& computed, std::vector<std::string>& notes) const;
  void AddNotes(const std::vector<std::string>& notes) {
    for (const std::string& note : notes) lines_.push_back("  " + note);
  }

  const ReportWords& words_;
  std::vector<std::string> lines_;
};

// With a real minus.
std::string Signed(const std::string& number) {
  return number.starts_with('-') ? "\u2212" + number.substr(1) : number;
}

std::string Figure(double value) { return Signed(fmt::format("{:.3f}", value)); }

std::string AgreementTextLines::WithLimits(const Estimate& e, bool has_limits) const {
  return has_limits ? Text("limits", {Figure(e.value), Figure(e.low), Figure(e.high)})
                    : Text("no_limits", {Figure(e.value)});
}

template <class T>
void AgreementTextLines::Note(const Computed<T>& computed, std::vector<std::string>& notes) const {
  if (!computed.value) return;
  for (const std::string& caution : computed.value->cautions)
    if (std::find(notes.begin(), notes.end(), caution) == notes.end()) notes.push_back(caution);
}

void AgreementTextLines::Add(const TimelineAgreement& t) {
  lines_.push_back(Text("steps", {t.case_code, t.first, t.second}));
  Line(Text("start"), t.boundaries, [&](const BoundaryDifference& b) { return Boundary(b.start_size_s); });
  Line(Text("end"), t.boundaries, [&](const BoundaryDifference& b) { return Boundary(b.end_size_s); });
  Line(Text("alone"), t.boundaries, [&](const BoundaryDifference& b) {
    return Text("alone.value", {fmt::format("{}", b.only_a.size()), fmt::format("{}", b.only_b.size())});
  });
  for (std::size_t i = 0; i < t.f1.size(); ++i)
    Line(Text("f1", {fmt::format("{:.0f}", 100 * kUsualOverlaps[i])}), t.f1[i],
         [](const VisitF1& f) { return Figure(f.f1); });
  Line(Text("order"), t.order, [](const EditScore& e) { return Figure(e.score); });
  Line(Text("frames"), t.frames, [&](const FrameAgreement& f) {
    return Text("frames.value", {Figure(f.kappa), FormatShare(f.accuracy)});
  });
  if (t.overlaps.value)
    for (const StepOverlap& o : *t.overlaps.value)
      lines_.push_back(fmt::format(
          "  {:<31} {}", Text("overlap", {t.steps[static_cast<std::size_t>(o.label)]}), Figure(o.iou)));
  for (const TimelineDifference& d : t.differences)
    lines_.push_back("  " + Text("difference", {FormatClock(d.start_s), FormatClock(d.end_s),
                                                d.first.empty() ? Text("no_step") : d.first,
                                                d.second.empty() ? Text("no_step") : d.second}));
}

void AgreementTextLines::Add(const ScoreAgreement& s) {
  lines_.push_back(Text(
      "scores", {s.sheet, s.first, s.second, Items(s.pairs), Cases(s.cases), fmt::format("{}", s.only_one)}));
  const auto text = [&](const Kappa& k) { return WithLimits(k.kappa, k.has_limits); };
  Line(Text("kappa.linear"), s.linear, text);
  Line(Text("kappa.quadratic"), s.quadratic, text);
  std::vector<std::string> notes;
  Note(s.linear, notes);
  Note(s.quadratic, notes);
  AddNotes(notes);
}

void AgreementTextLines::Add(const ScoreIcc& icc) {
  const bool items = icc.over == IccOver::kItems;
  if (!items && icc.cases < 2) return;  // the JSON has the reason
  const std::string over =
      items ? Text("icc.items", {Items(icc.items), Cases(icc.cases)}) : Text("icc.cases", {Cases(icc.cases)});
  lines_.push_back(Text("icc", {icc.sheet, fmt::format("{}", icc.reviewers.size()), over}));
  std::vector<std::string> notes;
  for (std::size_t i = 0; i < icc.forms.size(); ++i) {
    Line(Text(fmt::format("icc.form.{}", i)), icc.forms[i],
         [&](const Icc& value) { return WithLimits(value.icc, value.has_limits); });
    Note(icc.forms[i], notes);
  }
  if (items && icc.cases > 1) notes.push_back(Text("icc.alike"));
  AddNotes(notes);
}

std::string AgreementTextLines::ValueText(const ValueAgreement& v) const {
  const auto amount = [&](double value) { return WithUnit(Signed(fmt::format("{:.3g}", value)), v.unit); };
  if (!v.limits.value)
    return v.cases == 1 ? Text("value.one", {amount(v.mean_difference)})
                        : Text("value.few", {amount(v.mean_difference), Cases(v.cases)});
  const std::string lower = amount(v.limits.value->lower.value);
  const std::string upper = amount(v.limits.value->upper.value);
  if (lower == upper) return Text("value.same", {lower, Cases(v.cases)});
  return Text("value.limits", {Cases(v.cases), amount(v.mean_difference), lower, upper});
}

void AgreementTextLines::Add(const ValueAgreement& v) {
  const std::string name = words_.LabelOf(v.name) + (v.step.empty() ? "" : ", " + v.step);
  lines_.push_back(Text("value", {name, v.first, v.second, ValueText(v)}));
}

void AgreementTextLines::AddRough(const std::vector<ValueAgreement>& values) {
  const bool rough = std::any_of(values.begin(), values.end(), [](const ValueAgreement& v) {
    return v.limits.value && v.limits.value->n < kFewForLimitsOfAgreement;
  });
  if (rough) lines_.push_back(Text("value.rough", {fmt::format("{}", kFewForLimitsOfAgreement)}));
}

void AgreementTextLines::Add(const MarkRepeatability& r) {
  if (!r.repeatability.value) return;
  const Repeatability& v = *r.repeatability.value;
  const auto amount = [&](double value) { return WithUnit(fmt::format("{:.3g}", value), r.unit); };
  lines_.push_back(Text(
      "repeated", {words_.LabelOf(r.name), r.reviewer, amount(v.within_sd.value), amount(v.within_sd.low),
                   amount(v.within_sd.high), Counted(v.things, "thing", "things")}));
}

}  // namespace

std::vector<std::string> AgreementLines(const AgreementModel& model, const ReportWords& words) {
  AgreementTextLines lines(words);
  lines.AddAll(model.timelines);
  lines.AddAll(model.scores);
  lines.AddAll(model.icc);
  lines.AddAll(model.values);
  lines.AddRough(model.values);
  lines.AddAll(model.repeated);
  return lines.Take();
}

}  // namespace afterscope
