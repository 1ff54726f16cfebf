// SPDX-License-Identifier: Apache-2.0
#include "annotate/narration/align_steps.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace afterscope {
namespace {

// Weights of the alignment, chosen on the narrations in tests/data/narration but those whose names begin with
// "fresh" and "held".
constexpr double kWeak = 0.45;              // a weak phrase against a strong one
constexpr double kAgainst = 0.15;           // what is left where the clause speaks of something else
constexpr double kElsewhere = 0.1;          // or of another time
constexpr double kSupposed = 0.4;           // or of what is not done
constexpr double kOtherList = 0.5;          // a step that the list does not have
constexpr double kBegins = 1.2;             // "now", "starting"
constexpr double kMention = 3;              // for the step that is mentioned
constexpr double kOtherMention = 1;         // against the steps that are not
constexpr double kForward = 0.4;            // going on to the next step
constexpr double kToNone = 0.7;             // to nothing
constexpr double kSkipped = 0.6;            // for each step left out
constexpr double kBack = 1.7;               // going back
constexpr double kBackEach = 1.6;           // for each step of the list that it goes back
constexpr double kAgain = 5;                // going on with a step after something else
constexpr double kToAddOn = 0.1;            // an add-on may come at any place
constexpr double kMidCue = 0.2;             // another step within what is said in one breath
constexpr double kMidSentence = 2;          // or even within a sentence: there it is mostly only spoken of
constexpr double kHasty = 7.5;              // a step that is left as soon as it has begun
constexpr double kNotHasty = 0.5;           // of its usual time: from then on it may be left
constexpr double kLeastEvidence = 0.15;     // of a step as a whole
constexpr double kLeastInOrder = 0.1;       // of one that comes just where the usual order has it
constexpr std::ptrdiff_t kNearInOrder = 2;  // places in the list
constexpr double kPassingMention = 4;       // seconds; shorter inside another step, it was only spoken of
constexpr double kLeastMention = 0.2;       // of a clause that tells where a step is
constexpr double kUsual = 30;               // seconds of a step for which no usual time is given
constexpr double kInSilence = 0.75;         // of its usual time: so long a step goes on unless another begins
constexpr double kLongest = 1.1;            // times the usual, without being spoken of any more

struct Evidence {
  double weight = 0;
  std::string said;
};

std::string SaidBy(const Clause& clause, const PhraseHit& hit) {
  const std::size_t begin = clause.words[hit.begin].begin;
  return clause.text.substr(begin, clause.words[hit.end - 1].end - begin);
}

class Aligner {
 public:
  Aligner(const std::vector<Clause>& clauses, const NarrationRules& rules, const StepList& list)
      : clauses_(clauses), rules_(rules), list_(list), steps_(list.steps.size()), pace_(Pace()) {
    for (const Clause& clause : clauses) {
      evidence_.push_back(EvidenceIn(clause));
      other_lists_.push_back(OtherListsIn(clause));
    }
  }

  std::vector<SpokenStep> Run() const {
    std::vector<SpokenStep> runs = RunsOf(BestPath());
    for (SpokenStep& run : runs) Weigh(run);
    runs = WithoutDoubtful(std::move(runs));
    for (std::size_t i = 0; i < runs.size(); ++i) SetTimes(runs, i);
    return runs;
  }

 private:
  // No step, as a state and as a place in the order.
  std::size_t Idle() const { return steps_; }

  // What goes on, and the last step of the usual order that went on: what comes between (an add-on, nothing)
  // does not make the order forgotten.
  struct State {
    std::size_t now;
    std::size_t reached;
  };
  std::vector<State> AllStates() const {
    std::vector<State> states;
    for (std::size_t reached = 0; reached <= steps_; ++reached) {
      if (reached != Idle() && list_.steps[reached].add_on) continue;
      if (reached != Idle()) states.push_back({reached, reached});
      states.push_back({Idle(), reached});
      for (std::size_t step = 0; step < steps_; ++step)
        if (list_.steps[step].add_on) states.push_back({step, reached});
    }
    return states;
  }

  // What a clause is worth that speaks of another time, or of what is not done.
  static double Present(const Clause& clause) {
    return clause.elsewhere ? kElsewhere : clause.supposed ? kSupposed : 1;
  }

  std::vector<Evidence> EvidenceIn(const Clause& clause) const {
    std::vector<Evidence> all(steps_);
    for (std::size_t step = 0; step < steps_; ++step) {
      const auto words = rules_.steps.find(list_.steps[step].key);
      if (words == rules_.steps.end()) continue;
      const auto strong = BestHit(words->second.strong, clause.words);
      const auto weak = BestHit(words->second.weak, clause.words);
      if (!strong && !weak) continue;
      const PhraseHit& hit = strong ? *strong : *weak;
      double weight = strong ? strong->fit : kWeak * weak->fit;
      if (BestHit(words->second.against, clause.words)) weight *= kAgainst;
      weight *= Present(clause);
      if (clause.begins) weight *= kBegins;
      all[step] = {weight, SaidBy(clause, hit)};
    }
    return all;
  }

  // How much a clause speaks of a step that the list does not have: then none of the list is going on.
  double OtherListsIn(const Clause& clause) const {
    double weight = 0;
    for (const std::string& key : rules_.unlisted) {
      const auto words = rules_.steps.find(key);
      if (words == rules_.steps.end() || list_.Find(key) || BestHit(words->second.against, clause.words))
        continue;
      if (const auto hit = BestHit(words->second.strong, clause.words)) weight = std::max(weight, hit->fit);
    }
    return weight * (clause.elsewhere ? kElsewhere : kOtherList);
  }

  double Fit(std::size_t clause, std::size_t state) const {
    double own = state == Idle() ? other_lists_[clause] : 0, other = 0;
    for (std::size_t step = 0; step < steps_; ++step) {
      const double weight = evidence_[clause][step].weight;
      if (step == state)
        own = weight;
      else
        other = std::max(other, weight);
    }
    return kMention * own - kOtherMention * std::max(0.0, other - own);
  }

  // What a way from one state to the other costs; empty where there is none.
  std::optional<double> Cost(const State& from, const State& to) const {
    const bool to_order = to.now == to.reached && to.now != Idle();
    if (!to_order && to.reached != from.reached) return std::nullopt;
    if (from.now == to.now) return 0;
    if (to.now == Idle()) return kToNone;
    if (!to_order) return kToAddOn;
    if (from.reached == Idle()) return kForward + kSkipped * static_cast<double>(to.now);
    if (from.reached == to.now) return kAgain;
    const double ahead = static_cast<double>(to.now) - static_cast<double>(from.reached);
    return ahead > 0 ? kForward + kSkipped * (ahead - 1) : kBack - kBackEach * ahead;
  }

  struct Way {
    std::size_t from;
    double cost;
  };
  // The ways to each of the states.
  std::vector<std::vector<Way>> Ways(const std::vector<State>& states) const {
    std::vector<std::vector<Way>> ways(states.size());
    for (std::size_t to = 0; to < states.size(); ++to)
      for (std::size_t from = 0; from < states.size(); ++from)
        if (const auto cost = Cost(states[from], states[to])) ways[to].push_back({from, *cost});
    return ways;
  }

  // What it costs that another step begins with this clause.
  double BeginsAt(std::size_t clause) const {
    if (clause == 0 || clauses_[clause].cue != clauses_[clause - 1].cue) return 0;
    return clauses_[clause].opens_sentence ? kMidCue : kMidSentence;
  }

  double Usual(std::size_t step) const {
    const auto usual = rules_.usual_s.find(list_.steps[step].key);
    return usual == rules_.usual_s.end() ? kUsual : usual->second;
  }

  // What it costs to leave a step so many seconds after it began.
  double Hasty(std::size_t step, double seconds) const {
    return step == Idle() ? 0 : kHasty * std::max(0.0, 1 - seconds / (kNotHasty * pace_ * Usual(step)));
  }

  // The best way to a state, up to a clause.
  struct Reached {
    double value = -std::numeric_limits<double>::infinity();
    double since = 0;  // seconds; when what goes on began
    std::size_t from = 0;
  };

  // One clause further. How long a step has gone on is that of the best way to it alone.
  std::vector<Reached> After(std::size_t clause, const std::vector<State>& states,
                             const std::vector<std::vector<Way>>& ways,
                             const std::vector<Reached>& before) const {
    const double at = clauses_[clause].start, begins = BeginsAt(clause);
    std::vector<double> leaving(states.size());
    for (std::size_t i = 0; i < states.size(); ++i)
      leaving[i] = begins + Hasty(states[i].now, at - before[i].since);
    std::vector<Reached> after(states.size());
    for (std::size_t to = 0; to < states.size(); ++to) {
      Reached& best = after[to];
      for (const auto& [from, cost] : ways[to]) {
        const bool stays = states[from].now == states[to].now;
        const double value = before[from].value - cost - (stays ? 0 : leaving[from]);
        if (value > best.value) best = {value, stays ? before[from].since : at, from};
      }
      best.value += Fit(clause, states[to].now);
    }
    return after;
  }

  // The step, or none, of each clause.
  std::vector<std::size_t> BestPath() const {
    const std::vector<State> states = AllStates();
    const std::vector<std::vector<Way>> ways = Ways(states);
    std::vector<std::vector<Reached>> reached(1, std::vector<Reached>(states.size()));
    for (std::size_t i = 0; i < states.size(); ++i)
      if (states[i].now == Idle() && states[i].reached == Idle()) reached[0][i].value = 0;
    for (std::size_t clause = 0; clause < clauses_.size(); ++clause)
      reached.push_back(After(clause, states, ways, reached.back()));
    const auto last = std::max_element(reached.back().begin(), reached.back().end(),
                                       [](const Reached& a, const Reached& b) { return a.value < b.value; });
    auto state = static_cast<std::size_t>(last - reached.back().begin());
    std::vector<std::size_t> path(clauses_.size());
    for (std::size_t clause = clauses_.size(); clause-- > 0;) {
      path[clause] = states[state].now;
      state = reached[clause + 1][state].from;
    }
    return path;
  }

  std::vector<SpokenStep> RunsOf(const std::vector<std::size_t>& path) const {
    std::vector<SpokenStep> runs;
    for (std::size_t i = 0; i < path.size(); ++i) {
      if (path[i] == Idle()) continue;
      if (i > 0 && path[i - 1] == path[i])
        runs.back().last = i;
      else
        runs.push_back({path[i], i, i, 0, 0, 0, {}});
    }
    return runs;
  }

  bool Mentions(std::size_t clause, std::size_t step) const {
    return evidence_[clause][step].weight >= kLeastMention;
  }

  void Weigh(SpokenStep& run) const {
    double doubt = 1;
    run.said.clear();
    for (std::size_t i = run.first; i <= run.last; ++i) {
      if (!Mentions(i, run.step)) continue;
      doubt *= 1 - 0.7 * std::min(1.0, evidence_[i][run.step].weight);
      run.said.push_back(evidence_[i][run.step].said);
    }
    run.confidence = 1 - doubt;
  }

  // Whether a run comes between its neighbours where the usual order has it, with little left out.
  bool InOrder(const std::vector<SpokenStep>& runs, std::size_t i,
               const std::vector<SpokenStep>& kept) const {
    const auto at_order = [&](const SpokenStep& run) { return static_cast<std::ptrdiff_t>(run.step); };
    if (list_.steps[runs[i].step].add_on || kept.empty() || i + 1 == runs.size()) return false;
    const std::ptrdiff_t before = at_order(kept.back()), here = at_order(runs[i]),
                         after = at_order(runs[i + 1]);
    return before < here && here < after && here - before <= kNearInOrder && after - here <= kNearInOrder;
  }

  // A run with too few words for it goes on with the step before; so does a passing mention within a step.
  std::vector<SpokenStep> WithoutDoubtful(std::vector<SpokenStep> runs) const {
    std::vector<SpokenStep> kept;
    for (std::size_t i = 0; i < runs.size(); ++i) {
      const bool follows = !kept.empty() && kept.back().last + 1 == runs[i].first;
      const bool passing = follows && i + 1 < runs.size() && runs[i + 1].step == kept.back().step &&
                           clauses_[runs[i].last].end - clauses_[runs[i].first].start < kPassingMention;
      const double least = InOrder(runs, i, kept) ? kLeastInOrder : kLeastEvidence;
      if (follows && (passing || runs[i].step == kept.back().step || runs[i].confidence < least)) {
        kept.back().last = runs[i].last;
        Weigh(kept.back());
      } else if (runs[i].confidence >= least) {
        kept.push_back(std::move(runs[i]));
      }
    }
    return kept;
  }

  // How much slower than usual this operation is told: by the whole talk, against what all steps of the list
  // usually take together.
  double Pace() const {
    double usual = 0;
    for (const StepKind& step : list_.steps)
      if (const auto entry = rules_.usual_s.find(step.key); entry != rules_.usual_s.end() && !step.add_on)
        usual += entry->second;
    const double told = clauses_.back().end - clauses_.front().start;
    return usual > 0 ? std::max(1.0, told / usual) : 1.0;
  }

  // Until when a step goes on that is not spoken of after `last_mention`: as long as it usually takes, to the
  // end of the cue at least.
  double StaysUntil(const SpokenStep& run, std::size_t last_mention) const {
    std::size_t in_cue = last_mention;
    while (in_cue < run.last && clauses_[in_cue + 1].cue == clauses_[last_mention].cue) ++in_cue;
    return std::max(clauses_[in_cue].end, run.start + kLongest * pace_ * Usual(run.step));
  }

  // A step starts with the first cue that speaks of it, unless the step before is spoken of in that cue too;
  // it ends early where it is said to be done and is not spoken of again.
  void SetTimes(std::vector<SpokenStep>& runs, std::size_t index) const {
    SpokenStep& run = runs[index];
    while (run.first < run.last && !Mentions(run.first, run.step)) ++run.first;
    std::size_t lead = run.first;
    const auto taken = [&](std::size_t clause) {
      return index > 0 && Mentions(clause, runs[index - 1].step);
    };
    while (lead > 0 && clauses_[lead - 1].cue == clauses_[run.first].cue && !taken(lead - 1)) --lead;
    if (clauses_[lead].cue == clauses_[run.first].cue &&
        (lead == 0 || clauses_[lead - 1].cue != clauses_[lead].cue))
      run.first = lead;
    if (index > 0) {
      SpokenStep& before = runs[index - 1];
      before.last = std::min(before.last, run.first - 1);
      before.end = std::min(before.end, clauses_[run.first].start);
    }
    run.start = clauses_[run.first].start;
    std::size_t last_mention = run.last;
    while (last_mention > run.first && !Mentions(last_mention, run.step)) --last_mention;
    for (std::size_t i = last_mention; i <= run.last; ++i)
      if (BestHit(rules_.ends, clauses_[i].words)) run.last = i;
    const double stays = StaysUntil(run, last_mention);
    while (run.last > last_mention && clauses_[run.last].start >= stays) --run.last;
    run.end = std::max(clauses_[run.last].end,
                       std::min(run.start + kInSilence * pace_ * Usual(run.step), clauses_.back().end));
  }

  const std::vector<Clause>& clauses_;
  const NarrationRules& rules_;
  const StepList& list_;
  std::size_t steps_;
  double pace_;
  std::vector<std::vector<Evidence>> evidence_;
  std::vector<double> other_lists_;
};

}  // namespace

std::vector<SpokenStep> AlignSteps(const std::vector<Clause>& clauses, const NarrationRules& rules,
                                   const StepList& list) {
  if (clauses.empty() || list.steps.empty()) return {};
  return Aligner(clauses, rules, list).Run();
}

}  // namespace afterscope
