// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/agreement_json.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/jobs/score/agree_reviews.hpp"
#include "annotate/report/format.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <memory>

namespace afterscope {
namespace {

constexpr std::size_t kFewForLimits = 30;  // as in metrics/agreement/limits_of_agreement.cpp

struct AgreeCall {
  std::vector<std::string> folders;
  std::vector<std::string> reviews;
  std::string json;
  double level = 0.95;
};

// Two reviews of one case by one reviewer, or by nobody named, are told apart by their ids.
void NameReviewer(std::vector<ReviewedCase>& reviews, ReviewedCase& entry) {
  if (entry.reviewer.empty()) entry.reviewer = entry.review.id.value;
  const auto taken = [&](const std::string& name) {
    return std::any_of(reviews.begin(), reviews.end(), [&](const ReviewedCase& other) {
      return other.case_code == entry.case_code && other.reviewer == name;
    });
  };
  const std::string name = entry.reviewer;
  for (int number = 2; taken(entry.reviewer); ++number) entry.reviewer = fmt::format("{} ({})", name, number);
}

Status TakeReviews(const std::string& folder, const AgreeCall& call, std::vector<ReviewedCase>& reviews) {
  OpenCaseOptions open;
  open.read_only = true;
  AFTERSCOPE_ASSIGN(const auto first, CaseSession::Open(folder, open));
  TellCautions(*first);
  for (const ReviewId& id : first->Reviews()) {
    const bool wanted = call.reviews.empty() ||
                        std::find(call.reviews.begin(), call.reviews.end(), id.value) != call.reviews.end();
    if (!wanted) continue;
    open.review = id;
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
    const std::string code = session->record().code.empty() ? folder : session->record().code;
    ReviewedCase entry{code, session->review().reviewer_code, session->record(), session->review()};
    NameReviewer(reviews, entry);
    reviews.push_back(std::move(entry));
  }
  return {};
}

std::string Seconds(const std::optional<Quartiles>& q) {
  return q ? fmt::format("median {}, at most {}", FormatLength(q->median), FormatLength(q->most))
           : "none matched";
}

template <class T, class Text>
void Line(const std::string& what, const Computed<T>& figure, Text text) {
  Say("  {:<26} {}\n", what, figure.value ? text(*figure.value) : figure.reason);
}

void Print(const TimelineAgreement& t) {
  Say("Steps of case {}: {} and {}\n", t.case_code, t.first, t.second);
  Line("start differs by", t.boundaries, [](const BoundaryDifference& b) { return Seconds(b.start_size_s); });
  Line("end differs by", t.boundaries, [](const BoundaryDifference& b) { return Seconds(b.end_size_s); });
  Line("visits of one alone", t.boundaries, [](const BoundaryDifference& b) {
    return fmt::format("{} and {}", b.only_a.size(), b.only_b.size());
  });
  for (std::size_t i = 0; i < t.f1.size(); ++i)
    Line(fmt::format("F1 at {:.0f} %", 100 * kUsualOverlaps[i]), t.f1[i],
         [](const VisitF1& f) { return fmt::format("{:.3f}", f.f1); });
  Line("edit score", t.order, [](const EditScore& e) { return fmt::format("{:.3f}", e.score); });
  Line("kappa by frame", t.frames, [](const FrameAgreement& f) {
    return fmt::format("{:.3f} (same step {})", f.kappa, FormatShare(f.accuracy));
  });
  if (t.overlaps.value)
    for (const StepOverlap& o : *t.overlaps.value)
      Say("  {:<26} {:.3f}\n", "overlap of " + t.steps[static_cast<std::size_t>(o.label)], o.iou);
  for (const TimelineDifference& d : t.differences)
    Say("  {} to {}\t{} / {}\n", FormatClock(d.start_s), FormatClock(d.end_s),
        d.first.empty() ? "no step" : d.first, d.second.empty() ? "no step" : d.second);
}

std::string WithLimits(const Estimate& e, bool has_limits) {
  if (!has_limits) return fmt::format("{:.3f} (no limits)", e.value);
  return fmt::format("{:.3f} ({:.3f} to {:.3f})", e.value, e.low, e.high);
}

std::string Counted(std::size_t count, const char* one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

// What several figures have in common is said once, below them.
class Notes {
 public:
  template <class T>
  void Take(const Computed<T>& figure) {
    if (!figure.value) return;
    for (const std::string& caution : figure.value->cautions)
      if (std::find(texts_.begin(), texts_.end(), caution) == texts_.end()) texts_.push_back(caution);
  }
  void Print() const {
    for (const std::string& text : texts_) Say("  {}\n", text);
  }

 private:
  std::vector<std::string> texts_;
};

void Print(const ScoreAgreement& s) {
  Say("Scores by {}: {} and {}, {} of {} by both, {} by one alone\n", s.sheet, s.first, s.second,
      Counted(s.pairs, "item"), Counted(s.cases, "case"), s.only_one);
  const auto text = [](const Kappa& k) { return WithLimits(k.kappa, k.has_limits); };
  Line("weighted kappa, linear", s.linear, text);
  Line("weighted kappa, quadratic", s.quadratic, text);
  Notes notes;
  notes.Take(s.linear);
  notes.Take(s.quadratic);
  notes.Print();
}

void Print(const ScoreIcc& icc) {
  constexpr const char* kForms[] = {"agreement, one reviewer", "consistency, one reviewer",
                                    "agreement, mean of all", "consistency, mean of all"};
  const bool items = icc.over == IccOver::kItems;
  if (!items && icc.cases < 2) return;  // the JSON has the reason
  Say("Scores by {}: intraclass correlation of {} reviewers over {}\n", icc.sheet, icc.reviewers.size(),
      items ? Counted(icc.items, "item") + " of " + Counted(icc.cases, "case")
            : Counted(icc.cases, "case") + ", by the mean of the items that all scored");
  Notes notes;
  for (std::size_t i = 0; i < icc.forms.size(); ++i) {
    Line(kForms[i], icc.forms[i], [](const Icc& value) { return WithLimits(value.icc, value.has_limits); });
    notes.Take(icc.forms[i]);
  }
  notes.Print();
  if (items && icc.cases > 1)
    Say("  Items of one case are alike: limits for other cases are wider; see those over cases.\n");
}

void Print(const ValueAgreement& v) {
  const auto amount = [&](double value) { return WithUnit(fmt::format("{:.3g}", value), v.unit); };
  Say("{}{}, {} less {}: ", v.name, v.step.empty() ? "" : " " + v.step, v.first, v.second);
  if (!v.limits.value) {
    Say("{} {} in {}, too few for limits of agreement\n", v.cases == 1 ? "difference" : "mean difference",
        amount(v.mean_difference), Counted(v.cases, "case"));
    return;
  }
  const std::string lower = amount(v.limits.value->lower.value);
  const std::string upper = amount(v.limits.value->upper.value);
  if (lower == upper)
    Say("{} in each of {}\n", lower, Counted(v.cases, "case"));
  else
    Say("{}, mean difference {}, limits of agreement {} to {}\n", Counted(v.cases, "case"),
        amount(v.mean_difference), lower, upper);
}

void PrintAll(const std::vector<ValueAgreement>& values) {
  for (const ValueAgreement& value : values) Print(value);
  if (std::any_of(values.begin(), values.end(), [](const ValueAgreement& v) {
        return v.limits.value && v.limits.value->n < kFewForLimits;
      }))
    Say("Limits of agreement from fewer than {} cases are rough themselves: --json says how rough.\n",
        kFewForLimits);
}

void Print(const MarkRepeatability& r) {
  if (!r.repeatability.value) return;
  const Repeatability& v = *r.repeatability.value;
  Say("{} marked again by {}: one mark varies by {:.3g} {} ({:.3g} to {:.3g}); {}\n", r.name, r.reviewer,
      v.within_sd.value, r.unit, v.within_sd.low, v.within_sd.high, Counted(v.things, "thing"));
}

template <class Item>
void PrintAll(const std::vector<Item>& items) {
  for (const Item& item : items) Print(item);
}

Status Agree(const AgreeCall& call) {
  std::vector<ReviewedCase> reviews;
  for (const std::string& folder : call.folders) AFTERSCOPE_TRY(TakeReviews(folder, call, reviews));
  AFTERSCOPE_ASSIGN(const AgreementModel model, AgreeReviews(reviews, call.level));
  for (const std::string& caution : model.cautions) Say(stderr, "{}\n", caution);
  if (!call.json.empty()) return WriteOutput(call.json, ExportedText(JsonFromAgreement(model)));
  PrintAll(model.timelines);
  PrintAll(model.scores);
  PrintAll(model.icc);
  PrintAll(model.values);
  PrintAll(model.repeated);
  return {};
}

}  // namespace

Command AgreeCommand() {
  return {
      "agree", "Agreement between reviews of the same case", [](CLI::App& sub) {
        auto call = std::make_shared<AgreeCall>();
        sub.add_option(
               "CASEDIR", call->folders,
               "case folders; reviews in one folder, or of cases with one code, are of the same case; "
               "the first is the reference")
            ->required();
        sub.add_option("--review", call->reviews, "ids of the reviews to take (default: all)")->take_all();
        sub.add_option("--level", call->level, "of all limits")
            ->check(CLI::Range(0.5, 0.999))
            ->capture_default_str();
        sub.add_option("--json", call->json, "file for everything as JSON, - for standard output");
        return [call] {
          const Status done = Agree(*call);
          return done.ok() ? 0 : Failed(done.error());
        };
      }};
}

}  // namespace afterscope
