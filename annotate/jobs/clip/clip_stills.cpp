// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_checks.hpp"
#include "annotate/jobs/clip/clip_job.hpp"
#include "annotate/media/picture_file.hpp"

#include <fmt/format.h>

#include <memory>

namespace afterscope {
namespace {

std::vector<std::size_t> PartsShown(const ClipPlan& plan) {
  std::vector<std::size_t> stills, stretches;
  for (std::size_t i = 0; i < plan.parts.size(); ++i) {
    if (plan.parts[i].kind == ClipPartKind::kStill) stills.push_back(i);
    if (plan.parts[i].kind == ClipPartKind::kStretch) stretches.push_back(i);
  }
  return stills.empty() ? stretches : stills;
}

std::string NameOf(const std::string& path, std::size_t number, std::size_t count) {
  if (count == 1) return path;
  return fmt::format("{}-{}.png", path.substr(0, path.size() - 4), number);
}

Status WriteStill(const ClipPlan& plan, const ClipSchedule& schedule, ClipSource& source, std::size_t part,
                  const std::string& path, const StopQuery& stop) {
  const ClipInstant instant = schedule.At(schedule.SeenBeginning(part));
  return source.Pictures(
      part, {instant.case_seconds},
      [&](const Picture& picture) {
        const auto frame = std::make_shared<YuvFrame>(plan.width, plan.height, ColorMatrix::kBt709);
        DrawClipFrame(plan, schedule, instant, source.CaseOf(part), picture, *frame);
        return WriteNewPng(AsPicture(frame, {}), path);
      },
      stop);
}

}  // namespace

Result<std::vector<std::string>> MakeStills(const std::string& case_folder, const ClipPlan& plan,
                                            const std::string& path, const ClipOptions& options,
                                            const Progress& progress, const StopQuery& stop,
                                            FileSystem& files) {
  if (!path.ends_with(".png"))
    return Error{ErrorCode::kBadCall, fmt::format("'{}' is no picture: give a name in .png.", path)};
  AFTERSCOPE_TRY(CheckPlan(plan));
  const std::vector<std::size_t> parts = PartsShown(plan);
  if (parts.empty()) return Error{ErrorCode::kNotComputable, "The clip has no picture but titles."};
  AFTERSCOPE_ASSIGN(ClipSource source, ClipSource::Open(case_folder, plan, files));
  AFTERSCOPE_TRY(CheckConsents(plan, source, options));
  const ClipSchedule schedule(plan, source.Clocks());
  std::vector<std::string> names;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    names.push_back(NameOf(path, i + 1, parts.size()));
    AFTERSCOPE_TRY(CheckFree(names.back(), files));
  }
  for (std::size_t i = 0; i < parts.size(); ++i) {
    AFTERSCOPE_TRY(WriteStill(plan, schedule, source, parts[i], names[i], stop));
    if (progress) progress(static_cast<double>(i + 1) / static_cast<double>(parts.size()));
  }
  return names;
}

}  // namespace afterscope
