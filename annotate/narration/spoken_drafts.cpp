// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/spoken_drafts.hpp"

#include "annotate/case/text.hpp"
#include "annotate/narration/align_steps.hpp"
#include "annotate/narration/spoken_number.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace afterscope {
namespace {

constexpr double kSure = 0.85;            // words that say it outright
constexpr double kLikely = 0.6;           // words that also mean other things
constexpr double kOutOfRange = 0.3;       // a number that the setting hardly has
constexpr double kSameEvent = 60;         // seconds in which a complication is the same one
constexpr std::size_t kNumberWithin = 6;  // words between a setting's name and its number

class Listener {
 public:
  Listener(const TimedText& narration, const NarrationRules& rules, const StepList& list,
           const std::map<std::string, ValueRange>& usual)
      : cues_(narration.cues), rules_(rules), list_(list), usual_(usual), clauses_(ClausesOf(cues_, rules)) {}

  std::vector<SpokenDraft> Run() {
    steps_ = AlignSteps(clauses_, rules_, list_);
    AddSteps();
    AddSettings();
    AddComplications();
    AddChecks();
    AddInstruments();
    AddWholeCues();
    std::stable_sort(drafts_.begin(), drafts_.end(),
                     [](const SpokenDraft& a, const SpokenDraft& b) { return a.start < b.start; });
    return std::move(drafts_);
  }

 private:
  // The step that the talk is in at a clause, or none.
  std::string StepAt(std::size_t clause) const {
    for (const SpokenStep& step : steps_)
      if (step.first <= clause && clause <= step.last) return list_.steps[step.step].key;
    return {};
  }

  bool NotHere(const Clause& clause) const { return clause.elsewhere || clause.supposed; }

  // Denied in the words around the hit: "no tear", "to avoid a run-out".
  bool Denied(const Clause& clause, const PhraseHit& hit) const {
    const std::vector<SpokenWord> before(clause.words.begin(),
                                         clause.words.begin() + static_cast<std::ptrdiff_t>(hit.begin));
    return BestHit(rules_.negations, before).has_value();
  }

  void AddSteps() {
    for (const SpokenStep& step : steps_)
      drafts_.push_back({DraftKind::kStep,
                         step.start,
                         step.end,
                         list_.steps[step.step].key,
                         {},
                         JoinText(step.said, ", "),
                         step.confidence});
  }

  // The numbers and words of one clause, by field.
  std::map<std::string, std::string> SettingsIn(const Clause& clause, bool& unusual) const {
    std::map<std::string, std::string> fields;
    std::vector<std::pair<PhraseHit, std::string>> named;
    for (const auto& [field, phrases] : rules_.settings)
      if (const auto hit = BestHit(phrases, clause.words)) named.emplace_back(*hit, field);
    std::sort(named.begin(), named.end(), [](const auto& a, const auto& b) {
      return std::pair(a.first.begin, b.first.end) < std::pair(b.first.begin, a.first.end);
    });
    std::size_t taken = 0;  // words before it belong to settings that were read
    for (std::size_t i = 0; i < named.size(); ++i) {
      const auto& [hit, field] = named[i];
      if (hit.begin < taken) continue;  // "flow" within "aspiration flow"
      const std::size_t next =
          i + 1 < named.size() ? std::max(named[i + 1].first.begin, hit.end) : clause.words.size();
      const auto number = NumberNear(clause.words, hit, taken, std::min(next, hit.end + kNumberWithin));
      if (!number) continue;
      fields[field] = TextFrom(number->value);
      taken = std::max(number->end, hit.end);
      const auto range = usual_.find(field);
      unusual = unusual || (range != usual_.end() &&
                            (number->value < range->second.low || number->value > range->second.high));
    }
    if (fields.empty()) return fields;
    for (const auto& [field, words] : rules_.setting_words)
      for (const auto& [word, phrases] : words)
        if (BestHit(phrases, clause.words)) fields[field] = word;
    return fields;
  }

  // After the name, else right before it ("400 of vacuum").
  std::optional<SpokenNumber> NumberNear(const std::vector<SpokenWord>& words, const PhraseHit& hit,
                                         std::size_t from, std::size_t to) const {
    for (std::size_t i = hit.end; i < to; ++i)
      if (auto number = NumberAt(words, i, rules_)) return number;
    for (std::size_t i = from; i < hit.begin; ++i) {
      const auto number = NumberAt(words, i, rules_);
      if (number && number->end + 2 >= hit.begin) return number;
    }
    return std::nullopt;
  }

  // One draft for what a cue says of settings.
  void AddSettings() {
    for (std::size_t i = 0; i < clauses_.size();) {
      const std::size_t cue = clauses_[i].cue;
      SpokenDraft draft{DraftKind::kSettings, clauses_[i].start, {}, {}, {}, {}, kSure};
      std::vector<std::string> said;
      for (; i < clauses_.size() && clauses_[i].cue == cue; ++i) {
        bool unusual = false;
        const auto fields =
            clauses_[i].elsewhere ? std::map<std::string, std::string>{} : SettingsIn(clauses_[i], unusual);
        if (fields.empty()) continue;
        if (said.empty()) draft.start = clauses_[i].start;
        if (unusual) draft.confidence = kOutOfRange;
        draft.fields.insert(fields.begin(), fields.end());
        said.push_back(clauses_[i].text);
        if (const auto preset = rules_.presets.find(StepAt(i)); preset != rules_.presets.end())
          draft.key = preset->second;
      }
      if (said.empty()) continue;
      draft.words = JoinText(said, " ");
      drafts_.push_back(std::move(draft));
    }
  }

  void AddComplications() {
    std::map<std::string, double> told;
    for (std::size_t i = 0; i < clauses_.size(); ++i)
      for (const auto& [key, phrases] : rules_.complications) {
        const auto hit = BestHit(phrases, clauses_[i].words);
        if (!hit || NotHere(clauses_[i]) || Denied(clauses_[i], *hit)) continue;
        const auto before = told.find(key);
        const bool same = before != told.end() && clauses_[i].start - before->second < kSameEvent;
        told[key] = clauses_[i].start;
        if (same) continue;
        SpokenDraft draft{DraftKind::kComplication, clauses_[i].start, {}, key, {},
                          clauses_[i].text,         kSure * hit->fit};
        if (const std::string step = StepAt(i); !step.empty())
          draft.fields = {{"step_arisen", step}, {"step_recognised", step}};
        drafts_.push_back(std::move(draft));
      }
  }

  std::optional<PhraseHit> CheckHit(const CheckKind& check, std::size_t clause) const {
    const auto in = [&](const NarrationRules::Named& named) {
      const auto phrases = named.find(check.key);
      return phrases == named.end() ? std::nullopt : BestHit(phrases->second, clauses_[clause].words);
    };
    if (const auto hit = in(rules_.checks)) return hit;
    if (check.step.empty() || StepAt(clause) != check.step) return std::nullopt;
    return in(rules_.checks_in_step);
  }

  void AddChecks() {
    for (const CheckKind& check : list_.checks) {
      for (std::size_t i = 0; i < clauses_.size(); ++i) {
        const auto hit = CheckHit(check, i);
        if (!hit || NotHere(clauses_[i]) || Denied(clauses_[i], *hit)) continue;
        const bool usual_step = check.step.empty() || StepAt(i) == check.step;
        drafts_.push_back({DraftKind::kCheck,
                           clauses_[i].start,
                           {},
                           check.key,
                           {{"state", "seen done"}},
                           clauses_[i].text,
                           usual_step ? kSure : kLikely});
        break;
      }
    }
  }

  void AddInstruments() {
    for (const auto& [name, phrases] : rules_.instruments)
      for (std::size_t i = 0; i < clauses_.size(); ++i) {
        const auto hit = BestHit(phrases, clauses_[i].words);
        if (!hit || clauses_[i].elsewhere || Denied(clauses_[i], *hit)) continue;
        drafts_.push_back(
            {DraftKind::kInstrument, clauses_[i].start, {}, name, {}, clauses_[i].text, kSure * hit->fit});
        break;
      }
  }

  // What a cue as a whole says: teaching points, and what to look at again later.
  void AddWholeCues() {
    for (std::size_t i = 0; i < cues_.size(); ++i) {
      const std::vector<SpokenWord> words = WordsIn(cues_[i].text);
      if (BestHit(rules_.teaching, words))
        drafts_.push_back({DraftKind::kTeachingPoint, cues_[i].start, {}, {}, {}, cues_[i].text, kLikely});
      for (const auto& [from, to] : FollowUpsIn(words))
        drafts_.push_back({DraftKind::kFollowUp,
                           cues_[i].start,
                           {},
                           {},
                           {{"from_days", TextFrom(from)}, {"to_days", TextFrom(to)}},
                           cues_[i].text,
                           kLikely});
    }
  }

  // A number, or "a" of "a week".
  std::optional<SpokenNumber> CountAt(const std::vector<SpokenWord>& words, std::size_t at) const {
    if (auto number = NumberAt(words, at, rules_)) return number;
    if (at < words.size() && IsOneOf(rules_.follow_up.one, words[at].plain)) return SpokenNumber{1, at + 1};
    return std::nullopt;
  }

  // "after two to three months ... look": first and last day of each; none where nothing is to be looked at.
  std::vector<std::pair<double, double>> FollowUpsIn(const std::vector<SpokenWord>& words) const {
    const auto& rules = rules_.follow_up;
    std::vector<std::pair<double, double>> found;
    if (!BestHit(rules.wanted, words)) return found;
    for (std::size_t i = 0; i < words.size(); ++i) {
      if (const auto day = rules.days_of_word.find(words[i].plain); day != rules.days_of_word.end())
        found.emplace_back(day->second, day->second);
      if (!IsOneOf(rules.after, words[i].plain)) continue;
      const auto from = CountAt(words, i + 1);
      if (!from) continue;
      auto to = from;
      if (from->end < words.size() && IsOneOf(rules.range, words[from->end].plain))
        if (const auto second = NumberAt(words, from->end + 1, rules_)) to = second;
      if (to->end >= words.size()) continue;
      if (const auto unit = rules.days.find(words[to->end].plain); unit != rules.days.end())
        found.emplace_back(from->value * unit->second, to->value * unit->second);
    }
    return found;
  }

  const std::vector<Cue>& cues_;
  const NarrationRules& rules_;
  const StepList& list_;
  const std::map<std::string, ValueRange>& usual_;
  std::vector<Clause> clauses_;
  std::vector<SpokenStep> steps_;
  std::vector<SpokenDraft> drafts_;
};

}  // namespace

std::vector<SpokenDraft> DraftsFrom(const TimedText& narration, const NarrationRules& rules,
                                    const StepList& list, const std::map<std::string, ValueRange>& usual) {
  return Listener(narration, rules, list, usual).Run();
}

}  // namespace afterscope
