// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/share_list.hpp"

#include "annotate/jobs/clip/clip_job.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

std::string OfConsent(const ShareFacts& facts) {
  const Status allowed = CheckConsent(facts.record, facts.purpose, facts.today);
  return allowed.ok() ? fmt::format("The case notes the consent for {}.", facts.purpose)
                      : allowed.error().message;
}

std::string OfCovers(const Review& review) {
  const auto count = std::count_if(review.marks.begin(), review.marks.end(),
                                   [](const Mark& mark) { return mark.kind == MarkKind::kCover; });
  if (count == 0) return "No cover is set in this review.";
  return count == 1 ? "1 cover will be burnt in." : fmt::format("{} covers will be burnt in.", count);
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

std::string KnownOf(const std::string& key, const ShareFacts& facts) {
  if (key == "consent") return OfConsent(facts);
  if (key == "covers") return OfCovers(facts.review);
  if (key == "sound") return OfSound(facts.plan);
  if (key == "names") return OfNames(facts);
  return {};
}

}  // namespace afterscope
