// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/series_options.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

constexpr std::int64_t kMostPlanBytes = 1LL << 20;

CusumPlan PlanFrom(const Json& json, std::string& problem) {
  CusumPlan plan;
  JsonReader reader(json, "a cumulative sum", problem);
  reader.Read("title", plan.title);
  reader.Read("complications", plan.complications);
  reader.Read("step", plan.step);
  reader.Read("limit_s", plan.limit_s);
  reader.Read("acceptable", plan.design.acceptable);
  reader.Read("unacceptable", plan.design.unacceptable);
  reader.Read("alpha", plan.design.alpha);
  reader.Read("beta", plan.design.beta);
  if (problem.empty() && plan.complications.empty() && !(plan.limit_s > 0))
    problem =
        fmt::format("a cumulative sum '{}' with neither complications nor a limit_s above 0", plan.title);
  if (problem.empty())
    if (const auto limits = SequentialLimitsOf(plan.design); !limits.ok()) problem = limits.error().message;
  return plan;
}

}  // namespace

Result<SeriesPlan> LoadSeriesPlan(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostPlanBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, path));
  std::string problem;
  SeriesPlan plan;
  JsonReader reader(json, path, problem);
  reader.Read("measures", plan.measures);
  reader.ReadEach("cusums", [&](const Json& item) { plan.cusums.push_back(PlanFrom(item, problem)); });
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read '{}': it has {}.", path, problem)};
  return plan;
}

}  // namespace afterscope
