// SPDX-License-Identifier: Apache-2.0
#include "tests/app/desktop/stage/invented_case_support.hpp"

#include "annotate/jobs/demo/demo_case.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"

#include <cstdio>
#include <filesystem>

namespace afterscope {
namespace {

DemoMoment Noted(const char* step, double share, MomentKind kind, const char* key, const char* text) {
  DemoMoment noted{step, share, {}};
  noted.moment.kind = kind;
  noted.moment.key = key;
  noted.moment.text = text;
  return noted;
}

DemoCase Invented(const char* code, const char* date, std::uint64_t seed) {
  DemoCase made;
  made.record.code = code;
  made.record.date = date;
  made.record.eye = Eye::kRight;
  made.record.step_list = "phacoemulsification";
  made.record.operator_code = "X-T";
  made.record.supervisor_code = "X-S";
  made.record.seat_clock_hour = 12;
  made.record.orientation_confirmed = true;
  made.scene.seed = seed;
  made.scene.px_per_mm = 26;
  made.scene.seconds = 60;
  made.scene.rhexis = phantom::HandMadeRhexis(seed, 5.2, 0.6);
  made.scene.take_overs = {{"fragment_removal", 0.5}};
  made.format.frame_rate = {2, 1};
  made.moments = {Noted("rhexis", 0.6, MomentKind::kTeachingPoint, "",
                        "Let go and take the flap again nearer to the edge before the pull turns outwards."),
                  Noted("fragment_removal", 0.3, MomentKind::kComplication, "surge", ""),
                  Noted("cortex", 0.5, MomentKind::kRemark, "", "Slow down under the incision.")};
  return made;
}

}  // namespace

std::vector<std::string> MakeInventedCases(const std::string& folder) {
  const DemoPlaces places{folder};
  for (const char* name : {"cases", "recordings", "truth", "reports"})
    std::filesystem::create_directories(std::filesystem::path(folder) / name);
  const auto steps = LoadStepListFile(AssetsFolder() + "/step_lists/phacoemulsification.json");
  std::vector<std::string> folders;
  for (const DemoCase& each : {Invented("X-001", "2026-01-12", 31), Invented("X-002", "2026-02-09", 32)}) {
    const auto made = steps ? MakeDemoCase(each, places, {"X-R", "X-S", *steps, {}}, {}, {})
                            : Result<DemoOutcome>(steps.error());
    if (!made) {
      std::fprintf(stderr, "%s\n", made.error().message.c_str());
      return {};
    }
    folders.push_back(made->case_folder);
  }
  return folders;
}

}  // namespace afterscope
