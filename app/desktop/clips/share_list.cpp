// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/share_list.hpp"

#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/store/covers_of_case.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

std::string OfConsent(const ShareFacts& facts) {
  const Status allowed = CheckConsent(facts.record, facts.purpose, facts.today);
  return allowed.ok() ? fmt::format("The case notes the consent for {}.", facts.purpose)
                      : allowed.error().message;
}

std::size_t CoversIn(const Review& review) {
  return static_cast<std::size_t>(
      std::count_if(review.marks.begin(), review.marks.end(),
                    [](const Mark& mark) { return mark.kind == MarkKind::kCover; }));
}

std::string OfCovers(const Review& review, const OtherCovers& others) {
  if (!others.problem.empty()) return others.problem;
  const std::string count = CoverCount(review, others);
  return count.empty() ? kNoCover : count + " will be burnt in.";
}

std::string OfSound(const ClipPlan& plan) {
  const auto count = std::count_if(plan.parts.begin(), plan.parts.end(),
                                   [](const ClipPart& part) { return part.sound == ClipSound::kOriginal; });
  const auto spoken =
      std::count_if(plan.parts.begin(), plan.parts.end(), [](const ClipPart& part) { return part.voice; });
  const std::string voice =
      spoken == 0 ? "" : fmt::format(" The voice-over is heard in {} of the parts.", spoken);
  if (count == 0) return "The recordings’ sound is muted in all parts." + voice;
  return (count == 1 ? "1 part keeps its sound." : fmt::format("{} parts keep their sound.", count)) + voice;
}

std::string OfNames(const ShareFacts& facts) {
  const bool captions = std::any_of(facts.plan.parts.begin(), facts.plan.parts.end(),
                                    [](const ClipPart& part) { return part.captions; });
  const auto titles = std::count_if(facts.plan.parts.begin(), facts.plan.parts.end(),
                                    [](const ClipPart& part) { return !part.text.empty(); });
  const std::size_t said = captions ? facts.review.captions.size() : 0;
  return fmt::format("Titles: {}. Captions of the narration: {}.", titles,
                     said == 0 ? "none" : fmt::format("{} in the case", said));
}

}  // namespace

OtherCovers CoversOfOthers(const std::string& case_folder, const Review& review, FileSystem& files) {
  const auto all = WithAllCovers(case_folder, review, files);
  if (!all.ok()) return {0, all.error().message};
  return {CoversIn(*all) - CoversIn(review), {}};
}

std::string CoverCount(const Review& review, const OtherCovers& others) {
  const std::size_t count = CoversIn(review) + others.count;
  if (count == 0) return {};
  std::string words = count == 1 ? "1 cover" : fmt::format("{} covers", count);
  if (others.count == count)
    words += count == 1 ? ", of another review," : ", all of other reviews,";
  else if (others.count > 0)
    words += fmt::format(", {} of them of other reviews,", others.count);
  return words;
}

std::string KnownOf(const std::string& key, const ShareFacts& facts) {
  if (key == "consent") return OfConsent(facts);
  if (key == "covers") return OfCovers(facts.review, facts.others);
  if (key == "sound") return OfSound(facts.plan);
  if (key == "names") return OfNames(facts);
  return {};
}

}  // namespace afterscope
