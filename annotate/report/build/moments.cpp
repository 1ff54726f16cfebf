// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/store/spoken.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {

namespace {

constexpr int kMostMomentPx = 720;

std::string KindKey(MomentKind kind) {
  switch (kind) {
    case MomentKind::kRemark:
      return "kind.remark";
    case MomentKind::kTeachingPoint:
      return "kind.teaching_point";
    case MomentKind::kComplication:
      return "kind.complication";
    case MomentKind::kSettings:
      return "kind.settings";
    case MomentKind::kCheck:
      return "kind.check";
  }
  return "kind.remark";
}

std::string TitleOf(const ReportBuild& build, const Moment& moment) {
  if (moment.key.empty()) return {};
  if (moment.kind == MomentKind::kCheck)
    for (const CheckKind& check : build.in.steps.checks)
      if (check.key == moment.key) return check.name;
  return build.NameOf(moment.key);
}

// "Aspiration flow (not set on vacuum pumps)" within a row is "Aspiration flow".
std::string ShortName(const std::string& name) {
  const std::size_t aside = name.find(" (");
  return aside == std::string::npos || aside == 0 ? name : name.substr(0, aside);
}

MomentRow RowOf(const ReportBuild& build, const Moment& moment) {
  MomentRow row;
  row.at = build.FrameOf(moment.at);
  row.kind = moment.kind;
  row.kind_name = build.Text(KindKey(moment.kind));
  row.title = TitleOf(build, moment);
  if (const StepVisit* visit = RunningVisit(build.in.review, moment.at))
    row.step_name = build.in.steps.NameOf(visit->step);
  row.text = moment.text;
  if (const auto spoken = SpokenOf(moment))
    row.fields.emplace_back(build.Text("moment.spoken"), fmt::format("{:.0f} s", std::ceil(spoken->seconds)));
  for (const auto& [name, value] : moment.fields) {
    if (IsSpokenField(name)) continue;
    const StepKind* step = build.in.steps.Find(value);
    std::string shown = step ? step->name : build.NameOf(value);
    if (const auto unit = build.in.words.texts.find("unit." + name); unit != build.in.words.texts.end())
      shown += "\u00a0" + unit->second;
    row.fields.emplace_back(ShortName(build.NameOf(name)), std::move(shown));
  }
  return row;
}

}  // namespace

Status FillMoments(ReportBuild& build, const Progress& progress, const StopQuery& stop) {
  const std::vector<Moment>& moments = build.in.review.moments;
  int pictures = 0;
  int left_out = 0;
  for (std::size_t i = 0; i < moments.size(); ++i) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "The report was stopped."};
    MomentRow row = RowOf(build, moments[i]);
    if (moments[i].kind == MomentKind::kSettings) {
      build.model.settings.push_back(std::move(row));
      continue;
    }
    if (pictures < build.in.most_pictures) {
      OverlayOptions options;
      options.dial = options.mm_bar = options.best_circle = false;
      row.picture = build.AddPicture(moments[i].at, build.in.review, options, "", kMostMomentPx);
      ++pictures;
    } else {
      ++left_out;
    }
    build.model.moments.push_back(std::move(row));
    Report(progress, static_cast<double>(i + 1) / static_cast<double>(moments.size()));
  }
  if (left_out > 0 && build.in.frames)
    build.model.cautions.push_back(build.Filled("moments.left_out", std::to_string(left_out)));
  return {};
}

}  // namespace afterscope
