// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/follow_review.hpp"

#include "annotate/case/case_clock.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/jobs/follow/follow_eye.hpp"
#include "annotate/jobs/follow/follow_trail.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/media/case_recordings.hpp"
#include "annotate/store/followed_files.hpp"
#include "metrics/scale/scale.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kBeyondSeconds = 10;  // past hand-set points outside of any step
constexpr double kLimbusShare = 0.55;  // of the picture's shorter side: a guess where no eye is found

// A trail's stretch in one recording.
struct TrailPart {
  const Trail* trail;
  int recording;
  HalfOpen<Pts> range;
};

class FollowJob {
 public:
  FollowJob(const std::string& folder, const CaseRecord& record, const Review& review,
            const FollowRequest& request, const Progress& progress, const StopQuery& stop, FileSystem& files)
      : folder_(folder),
        record_(record),
        review_(review),
        request_(request),
        progress_(progress),
        stop_(stop),
        files_(files),
        recordings_(CaseRecordings::Open(folder, record, {})),
        clock_(recordings_.Clock()) {
    out_.cautions = recordings_.cautions();
    before_ = LoadFollowed(folder, review.id, files);
    out_.followed = CurrentOf(before_, record, review, nullptr);
  }

  Result<FollowOutcome> Run() {
    AFTERSCOPE_TRY(CheckRequest());
    const std::vector<TrailPart> parts = TrailParts();
    const std::vector<std::pair<int, HalfOpen<Pts>>> eyes = EyeParts(parts);
    const double steps = static_cast<double>(parts.size() + eyes.size());
    double done = 0;
    const auto share = [&](double part) { Report(progress_, (done + part) / steps); };
    for (const auto& [recording, range] : eyes) {
      AFTERSCOPE_TRY(Keep(EyePart(recording, range, share)));
      ++done;
    }
    for (const TrailPart& part : parts) {
      if (request_.only_eye && Holds(*part.trail, part.recording)) continue;
      AFTERSCOPE_TRY(Keep(FollowPart(part, share)));
      ++done;
    }
    if (found_ > 0) return std::move(out_);
    return Error{ErrorCode::kNotComputable,
                 refused_.empty() ? fmt::format("There is nothing to follow in '{}'.", folder_) : refused_};
  }

 private:
  Status CheckRequest() const {
    bool any = false;
    for (int i = 0; i < recordings_.size(); ++i) any = any || recordings_.At(i);
    if (!any)
      return Error{ErrorCode::kUnreadable,
                   fmt::format("Nothing can be followed in '{}': {}", folder_,
                               out_.cautions.empty() ? "the case has no recording." : out_.cautions.front())};
    const auto is_asked = [&](const Trail& t) { return t.id == *request_.trail; };
    if (request_.trail && std::none_of(review_.trails.begin(), review_.trails.end(), is_asked))
      return Error{ErrorCode::kBadCall, fmt::format("There is no trail '{}' in review '{}'.",
                                                    request_.trail->value, review_.id.value)};
    if (request_.from && request_.to && !(*request_.from < *request_.to))
      return Error{ErrorCode::kBadCall, "There is nothing to follow: the end must lie after the start."};
    return {};
  }

  // The part of [from, to) that lies in a recording.
  HalfOpen<Pts> Within(int recording, FrameRef from, FrameRef to) const {
    const RecordingShape shape = recordings_.At(recording)->Shape();
    HalfOpen<Pts> out{shape.first, shape.end};
    if (from.recording > recording || to.recording < recording) return {shape.first, shape.first};
    if (from.recording == recording) out.start = std::max(out.start, from.pts);
    if (to.recording == recording) out.end = std::min(out.end, to.pts);
    return out;
  }

  FrameRef From() const { return request_.from.value_or(clock_.begin()); }
  FrameRef To() const { return request_.to.value_or(clock_.end()); }

  // Where a trail is followed unless the call says otherwise.
  HalfOpen<FrameRef> StretchOf(const Trail& trail) const {
    const std::vector<TrailPoint> points = HandPoints(trail);
    HalfOpen<FrameRef> out{points.front().at, points.back().at};
    const StepVisit *first = RunningVisit(review_, out.start), *last = RunningVisit(review_, out.end);
    out.start = first ? first->start : clock_.At(std::max(0.0, clock_.Seconds(out.start) - kBeyondSeconds));
    out.end =
        last ? EndOf(review_, *last, clock_.end()) : clock_.At(clock_.Seconds(out.end) + kBeyondSeconds);
    if (request_.from) out.start = *request_.from;
    if (request_.to) out.end = *request_.to;
    return out;
  }

  // Whether a trail's result holds for the eye as it is followed now.
  bool Holds(const Trail& trail, int recording) const {
    return std::any_of(out_.followed.trails.begin(), out_.followed.trails.end(), [&](const FollowedTrail& f) {
      return f.trail == trail.id && f.recording == recording &&
             f.input_digest == TrailDigest(record_, trail, f, EyeOf(out_.followed, recording));
    });
  }

  // Whether it is to be followed: for the eye alone, where it was before and will not hold.
  bool IsAsked(const Trail& trail) const {
    if (request_.trail) return trail.id == *request_.trail;
    if (!request_.only_eye) return true;
    return std::any_of(before_.trails.begin(), before_.trails.end(), [&](const FollowedTrail& f) {
      return f.trail == trail.id &&
             !(EyeOf(out_.followed, f.recording) != nullptr && Holds(trail, f.recording));
    });
  }

  std::vector<TrailPart> TrailParts() {
    std::vector<TrailPart> out;
    for (const Trail& trail : review_.trails) {
      if (!IsAsked(trail)) continue;
      const std::vector<TrailPoint> points = HandPoints(trail);
      if (points.empty()) {
        Refuse(fmt::format("Trail '{}' has no point set by hand: set one on the tip, then follow.",
                           trail.id.value));
        continue;
      }
      const HalfOpen<FrameRef> stretch = StretchOf(trail);
      for (int i = 0; i < recordings_.size(); ++i) {
        if (!recordings_.At(i)) continue;
        const HalfOpen<Pts> range = Within(i, stretch.start, stretch.end);
        const bool set = std::any_of(points.begin(), points.end(), [&](const TrailPoint& p) {
          return p.at.recording == i && range.Contains(p.at.pts);
        });
        if (set)
          out.push_back({&trail, i, range});
        else if (!range.empty())
          Refuse(fmt::format(
              "Trail '{}' is not followed in recording {}: no point is set by hand on a frame of the "
              "stretch there.",
              trail.id.value, i + 1));
      }
    }
    return out;
  }

  std::vector<std::pair<int, HalfOpen<Pts>>> EyeParts(const std::vector<TrailPart>& parts) const {
    std::vector<std::pair<int, HalfOpen<Pts>>> out;
    for (int i = 0; i < recordings_.size(); ++i) {
      if (!recordings_.At(i)) continue;
      HalfOpen<Pts> range = Within(i, From(), To());
      if (request_.trail) {
        range.end = range.start;
        for (const TrailPart& part : parts)
          if (part.recording == i) range = part.range;
      }
      if (!range.empty()) out.emplace_back(i, range);
    }
    return out;
  }

  // A result that goes on from what is there, or a new one.
  Result<FollowedEye> EyeToGoOn(int recording, HalfOpen<Pts> range) {
    if (const FollowedEye* known = EyeOf(out_.followed, recording)) {
      const bool holds = known->complete || !known->frames.empty();
      if (holds && known->range.start <= range.start && known->range.end >= range.end) return *known;
      if (holds && known->range.start <= range.start && range.start <= known->range.end) {
        FollowedEye longer = *known;
        longer.range.end = range.end, longer.complete = false;
        return longer;
      }
      range = {std::min(range.start, known->range.start), std::max(range.end, known->range.end)};
      if (holds) {
        FollowedEye anew = *known;
        anew.range = range, anew.complete = false;
        anew.frames.clear(), anew.sights.clear();
        return anew;
      }
    }
    AFTERSCOPE_ASSIGN(FollowedEye eye, FindReferenceEye(*recordings_.At(recording), recording, range,
                                                        EyeStartFrom(record_, review_, recording), stop_));
    eye.input_digest = EyeDigest(record_, eye);
    return eye;
  }

  Status EyePart(int recording, HalfOpen<Pts> range, const Progress& progress) {
    AFTERSCOPE_ASSIGN(FollowedEye eye, EyeToGoOn(recording, range));
    const bool was_complete = eye.complete;
    const auto keep = [&](const FollowedEye& so_far) {
      return SaveFollowed(folder_, review_.id, so_far, files_);
    };
    Status followed = FollowEye(*recordings_.At(recording), eye, progress, stop_, keep);
    ++found_;
    if (!was_complete) AFTERSCOPE_TRY(SaveFollowed(folder_, review_.id, eye, files_));
    std::erase_if(out_.followed.eyes, [&](const FollowedEye& e) { return e.recording == recording; });
    out_.followed.eyes.push_back(std::move(eye));
    return followed;
  }

  double GuessedPxPerMm(int recording) const {
    const RecordingInfo& info = recordings_.At(recording)->info();
    return kLimbusShare * std::min(info.width, info.height) / kPopulationCornealDiameter.mm;
  }

  Status FollowPart(const TrailPart& part, const Progress& progress) {
    const TrailTask task{part.trail, part.recording, part.range, EyeOf(out_.followed, part.recording),
                         GuessedPxPerMm(part.recording)};
    const std::string memory_path = fmt::format("{}/cache/follow/{}-{}-{}.json", folder_, review_.id.value,
                                                part.trail->id.value, part.recording);
    TrailMemory memory = LoadTrailMemory(memory_path, files_);
    const TrailCalls calls{
        [&](const TrailMemory& so_far) { return SaveTrailMemory(memory_path, so_far, files_); },
        request_.watch};
    auto followed = FollowTrail(*recordings_.At(part.recording), task, memory, progress, stop_, calls);
    AFTERSCOPE_TRY(SaveTrailMemory(memory_path, memory, files_));
    AFTERSCOPE_TRY(followed.ok() ? Status() : Status(followed.error()));
    followed->input_digest = TrailDigest(record_, *part.trail, *followed, task.eye);
    AFTERSCOPE_TRY(SaveFollowed(folder_, review_.id, *followed, files_));
    std::erase_if(out_.followed.trails, [&](const FollowedTrail& t) {
      return t.trail == followed->trail && t.recording == followed->recording;
    });
    out_.followed.trails.push_back(std::move(*followed));
    ++found_;
    return {};
  }

  // What can't be computed is said and passed over; anything else ends the work.
  Status Keep(const Status& status) {
    if (status.ok() || status.error().code != ErrorCode::kNotComputable) return status;
    Refuse(status.error().message);
    return {};
  }
  void Refuse(std::string sentence) {
    if (refused_.empty()) refused_ = sentence;
    out_.cautions.push_back(std::move(sentence));
  }

  const std::string& folder_;
  const CaseRecord& record_;
  const Review& review_;
  const FollowRequest& request_;
  const Progress& progress_;
  const StopQuery& stop_;
  FileSystem& files_;
  CaseRecordings recordings_;
  CaseClock clock_;
  Followed before_;  // what lay there, current or not
  FollowOutcome out_;
  int found_ = 0;
  std::string refused_;  // the first thing that could not be computed
};

}  // namespace

Result<FollowOutcome> FollowReview(const std::string& case_folder, const CaseRecord& record,
                                   const Review& review, const FollowRequest& request,
                                   const Progress& progress, const StopQuery& stop, FileSystem& files) {
  return FollowJob(case_folder, record, review, request, progress, stop, files).Run();
}

}  // namespace afterscope
