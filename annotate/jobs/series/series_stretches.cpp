// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_stretches.hpp"

#include "annotate/case/words.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/store/step_list_file.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace afterscope {
namespace {

char Lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool HasWords(const std::string& text, const std::string& words) {
  const auto same = [](char a, char b) { return Lower(a) == Lower(b); };
  return std::search(text.begin(), text.end(), words.begin(), words.end(), same) != text.end();
}

bool AsksForMoments(const StretchQuery& query) {
  return !query.complication.empty() || !query.check.empty() || !query.words.empty();
}

bool Fits(const StretchQuery& query, const IndexMoment& moment) {
  const bool complication = moment.kind == WordOf(MomentKind::kComplication);
  const bool check = moment.kind == WordOf(MomentKind::kCheck);
  if (!query.step.empty() && moment.step != query.step) return false;
  if (!query.complication.empty() &&
      !(complication && (query.complication == "any" || moment.key == query.complication)))
    return false;
  if (!query.check.empty() && !(check && moment.key == query.check)) return false;
  return query.words.empty() || HasWords(moment.words, query.words);
}

Stretch Begun(const IndexCase& record) {
  return {record.folder, record.code, record.date, {}, {}, {}, 0, 0, {}};
}

void AddVisits(const IndexCase& record, const std::vector<IndexVisit>& visits, const StretchQuery& query,
               std::vector<Stretch>& out) {
  for (const IndexVisit& visit : visits) {
    if (visit.step != query.step) continue;
    Stretch stretch = Begun(record);
    stretch.operator_code = visit.operator_code;
    stretch.what = visit.step;
    stretch.start_s = visit.start_s;
    stretch.end_s = visit.end_s;
    stretch.at = visit.start;
    out.push_back(std::move(stretch));
  }
}

void AddMoments(const IndexCase& record, const std::vector<IndexMoment>& moments, const StretchQuery& query,
                std::vector<Stretch>& out) {
  for (const IndexMoment& moment : moments) {
    if (!Fits(query, moment)) continue;
    Stretch stretch = Begun(record);
    stretch.operator_code = moment.operator_code;
    stretch.what = moment.key.empty() ? moment.kind : moment.key;
    stretch.words = moment.words;
    stretch.start_s = std::max(0.0, moment.at_s - query.before_s);
    stretch.end_s = moment.at_s + query.after_s;
    stretch.at = moment.at;
    out.push_back(std::move(stretch));
  }
}

Stretch OfCheck(const IndexCase& record, const StretchQuery& query, const std::string& state,
                const IndexVisit& first, double end_s) {
  Stretch stretch = Begun(record);
  stretch.operator_code = first.operator_code;
  stretch.what = query.check;
  stretch.words = state;
  stretch.start_s = first.start_s;
  stretch.end_s = end_s;
  stretch.at = first.start;
  return stretch;
}

// `step`: where the check is usually seen; may be empty.
void AddCheck(const IndexCase& record, const std::vector<IndexVisit>& visits, const StretchQuery& query,
              const std::string& step, const std::string& state, std::vector<Stretch>& out) {
  if (visits.empty() || !HasWords(state, query.words)) return;
  const std::size_t before = out.size();
  for (const IndexVisit& visit : visits)
    if (visit.step == step) out.push_back(OfCheck(record, query, state, visit, visit.end_s));
  if (out.size() > before || !query.step.empty()) return;
  double end_s = 0;
  for (const IndexVisit& visit : visits) end_s = std::max(end_s, visit.end_s);
  out.push_back(OfCheck(record, query, state, visits.front(), end_s));
}

// Where each case's step list says that a check is usually seen.
class CheckSteps {
 public:
  CheckSteps(std::string check, std::string assets_folder)
      : check_(std::move(check)), assets_folder_(std::move(assets_folder)) {}
  const std::string& Of(const IndexCase& record) {
    const auto [at, is_new] = steps_.try_emplace(record.step_list);
    if (!is_new) return at->second;
    CaseRecord like;
    like.step_list = record.step_list;
    if (const auto list = LoadStepList(like, record.folder, assets_folder_); list.ok())
      for (const CheckKind& check : list->checks)
        if (check.key == check_) at->second = check.step;
    return at->second;
  }

 private:
  std::string check_;
  std::string assets_folder_;
  std::map<std::string, std::string> steps_;  // by step list
};

}  // namespace

Result<std::vector<Stretch>> FindStretches(CaseIndex& index, const std::string& folder,
                                           const SeriesFilter& filter, const StretchQuery& query,
                                           const std::string& assets_folder) {
  if (query.step.empty() && !AsksForMoments(query))
    return Error{ErrorCode::kBadCall, "Say what to look for: a step, a complication, a check or words."};
  SeriesOptions options;
  options.filter = filter;
  AFTERSCOPE_ASSIGN(const SelectedCases selected, SelectCases(index, folder, options, ReviewOfEither));
  std::map<std::int64_t, std::vector<IndexMoment>> moments;
  if (AsksForMoments(query))
    for (const std::string_view kind : WordsOf<MomentKind>::kWords) {
      AFTERSCOPE_ASSIGN(auto of_kind, index.Moments(std::string(kind)));
      for (auto& [review, found] : of_kind)
        moments[review].insert(moments[review].end(), found.begin(), found.end());
    }
  std::map<std::int64_t, std::string> states;
  if (!query.check.empty() && query.complication.empty()) {
    AFTERSCOPE_ASSIGN(states, index.CheckStates(query.check));
  }
  CheckSteps usual(query.check, assets_folder);
  std::vector<Stretch> out;
  for (std::size_t i = 0; i < selected.cases.size(); ++i) {
    const auto first = static_cast<std::ptrdiff_t>(out.size());
    if (AsksForMoments(query))
      AddMoments(selected.records[i], moments[selected.cases[i].review_id], query, out);
    else
      AddVisits(selected.records[i], selected.visits[i], query, out);
    if (const auto state = states.find(selected.cases[i].review_id); state != states.end()) {
      const std::string& step = usual.Of(selected.records[i]);
      if (query.step.empty() || query.step == step)
        AddCheck(selected.records[i], selected.visits[i], query, step, state->second, out);
    }
    std::stable_sort(out.begin() + first, out.end(),
                     [](const Stretch& a, const Stretch& b) { return a.start_s < b.start_s; });
  }
  return out;
}

}  // namespace afterscope
