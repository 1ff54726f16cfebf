// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/review_access.hpp"
#include "annotate/case/words.hpp"
#include "annotate/exchange/agreement_json.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/jobs/score/agree_reviews.hpp"
#include "annotate/report/agreement/agreement_text.hpp"
#include "annotate/store/case_session.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/case_cautions.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"
#include "app/common/text_output.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

namespace afterscope {
namespace {

struct AgreeCall {
  std::vector<std::string> folders;
  std::vector<std::string> reviews;
  std::string kind{WordOf(ReviewKind::kFormative)};
  std::string json;
  double level = 0.95;
};

struct TakenReviews {
  std::vector<ReviewedCase> reviews;
  std::vector<ReviewSummary> summaries;  // of each, its folder before its ids
  int of_other_kind = 0;                 // left out
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

// Those that are named; else of each the newest version: a reviewer does not agree with himself.
std::vector<ReviewSummary> Wanted(const CaseSession& session, const AgreeCall& call) {
  std::vector<ReviewSummary> all = session.Summaries();
  for (const ReviewId& id : session.Reviews())
    if (std::none_of(all.begin(), all.end(), [&](const ReviewSummary& review) { return review.id == id; }))
      Say(stderr, "The review '{}' can't be read and is left out.\n", id.value);
  if (call.reviews.empty()) return NewestVersions(all, false);
  std::erase_if(all, [&](const ReviewSummary& review) {
    return std::find(call.reviews.begin(), call.reviews.end(), review.id.value) == call.reviews.end();
  });
  return all;
}

Status RefuseTwice(const std::vector<std::string>& folders) {
  std::set<std::filesystem::path> places;
  for (const std::string& folder : folders) {
    std::error_code unknown;  // told when it is opened
    const auto place = std::filesystem::canonical(folder, unknown);
    if (!unknown && !places.insert(place).second)
      return Error{ErrorCode::kBadCall,
                   fmt::format("'{}' is given twice: its reviews would agree with themselves.", folder)};
  }
  return {};
}

// Two reviews of one case that are hidden from each other are not shown side by side either.
Status RefuseHidden(const TakenReviews& taken) {
  for (std::size_t i = 0; i < taken.reviews.size(); ++i)
    for (std::size_t k = i + 1; k < taken.reviews.size(); ++k) {
      const ReviewId& first = taken.summaries[i].id;
      const ReviewId& second = taken.summaries[k].id;
      if (taken.reviews[i].case_code == taken.reviews[k].case_code &&
          (!MayBeShown(taken.summaries, first, second) || !MayBeShown(taken.summaries, second, first)))
        return Error{
            ErrorCode::kNotComputable,
            fmt::format(
                "Reviews '{}' and '{}' of case '{}' are hidden from each other until both are signed: "
                "sign them first, or name others by --review.",
                taken.reviews[i].review.id.value, taken.reviews[k].review.id.value,
                taken.reviews[i].case_code)};
    }
  return {};
}

void TellLeftOut(const AgreeCall& call, int left_out) {
  if (left_out == 0) return;
  const char* other = call.kind == WordOf(ReviewKind::kFormal) ? "formative" : "formal";
  Say(stderr, "{} {} {} left out: kinds are never mixed, and --kind {} takes {} alone.\n", left_out, other,
      left_out == 1 ? "review is" : "reviews are", other, other);
}

Status TakeReviews(const std::string& folder, const AgreeCall& call, TakenReviews& taken) {
  OpenCaseOptions open;
  open.read_only = true;
  AFTERSCOPE_ASSIGN(const auto first, CaseSession::Open(folder, open));
  TellCautions(*first);
  for (const ReviewSummary& review : Wanted(*first, call)) {
    if (WordOf(review.kind) != call.kind) {
      ++taken.of_other_kind;
      continue;
    }
    open.review = review.id;
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, open));
    const std::string code = session->record().code.empty() ? folder : session->record().code;
    ReviewedCase entry{code, session->review().reviewer_code, session->record(), session->review()};
    NameReviewer(taken.reviews, entry);
    taken.reviews.push_back(std::move(entry));
    ReviewSummary& summary = taken.summaries.emplace_back(review);
    summary.id.value = fmt::format("{}/{}", folder, review.id.value);
    summary.version_of.value = fmt::format("{}/{}", folder, review.version_of.value);
  }
  return {};
}

Status Agree(const AgreeCall& call) {
  AFTERSCOPE_TRY(RefuseTwice(call.folders));
  TakenReviews taken;
  for (const std::string& folder : call.folders) AFTERSCOPE_TRY(TakeReviews(folder, call, taken));
  TellLeftOut(call, taken.of_other_kind);
  AFTERSCOPE_TRY(RefuseHidden(taken));
  AFTERSCOPE_ASSIGN(const ReportWords words, LoadReportWords(AssetsFolder() + "/reports/words.json"));
  AFTERSCOPE_ASSIGN(const AgreementModel model, AgreeReviews(taken.reviews, words, call.level));
  for (const std::string& caution : model.cautions) Say(stderr, "{}\n", caution);
  if (!call.json.empty()) return WriteJsonOutput(call.json, ExportedText(JsonFromAgreement(model)));
  for (const std::string& line : AgreementLines(model, words)) Say("{}\n", line);
  return {};
}

}  // namespace

Command AgreeCommand() {
  return {"agree", "Agreement between reviews of the same case", [](CLI::App& sub) {
            auto call = std::make_shared<AgreeCall>();
            sub.add_option(
                   "CASEDIR", call->folders,
                   "case folders; reviews in one folder, or of cases with one code, are of the same case; "
                   "the first is the reference")
                ->required();
            sub.add_option("--review", call->reviews,
                           "ids of the reviews to take (default: the newest version of each)")
                ->take_all();
            sub.add_option("--kind", call->kind, "of the reviews that are taken: formative or formal")
                ->check(CLI::IsMember({"formative", "formal"}))
                ->capture_default_str();
            sub.add_option("--level", call->level, "of all limits")
                ->check(NumberWithin(0.5, 0.999))
                ->capture_default_str();
            sub.add_option("--json", call->json, "file for everything as JSON, - for standard output");
            return [call] {
              const Status done = Agree(*call);
              return done.ok() ? 0 : Failed(done.error());
            };
          }};
}

}  // namespace afterscope
