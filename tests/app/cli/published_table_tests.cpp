// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <string>
#include <vector>

// Three files of the shape of the published table of 101 operations (Schoeffmann et al. 2018, MMSys): 25
// frames a second, four surgeons, experience 1 in 45 of them and 2 in 56, ten phases of which some recur and
// some are missing, the first frame of each. Its times are invented here; what must come out is computed from
// the rows beside the program. Hidden: it makes 101 cases on the disk.

namespace afterscope {
namespace {

using Json = nlohmann::json;

struct Row {
  int video = 0;
  int frame = 0;
  int phase = 0;
};

struct Video {
  int id = 0;
  int frames = 0;
  int surgeon = 0;
  int experience = 0;
};

struct Tables {
  std::vector<Video> videos;
  std::vector<Row> rows;
};

constexpr std::array kNames{"Incision",
                            "Viscous agent injection",
                            "Rhexis",
                            "Hydrodissection",
                            "Phacoemulsification",
                            "Irrigation/aspiration",
                            "Capsule polishing",
                            "Lens implant setting-up",
                            "Viscous agent removal",
                            "Tonifying/antibiotics"};

// The same numbers on every machine.
class Numbers {
 public:
  int Below(int most) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<int>((state_ >> 33) % static_cast<std::uint64_t>(most));
  }

 private:
  std::uint64_t state_ = 101;
};

Tables MakeTables() {
  Tables tables;
  Numbers numbers;
  for (int i = 0; i < 101; ++i) {
    const bool less = i != 100 && i % 9 < 4;  // 45 of them
    Video video{269 + 7 * i, numbers.Below(90), 0, less ? 1 : 2};
    video.surgeon = less ? (i % 2 ? 1 : 4) : (i % 2 ? 2 : 3);
    for (const int phase : {1, 10, 2, 3, 4, 5, 6, 7, 2, 8, 9, 10, 10}) {
      const bool left_out = (phase == 1 && less && i % 14 == 0) || (phase == 10 && numbers.Below(3) == 0);
      if (left_out) continue;
      tables.rows.push_back({video.id, video.frames, phase});
      video.frames += (less ? 400 : 200) + numbers.Below(less ? 1500 : 500);
    }
    tables.videos.push_back(video);
  }
  return tables;
}

void WriteTables(const Tables& tables, const TemporaryFolder& folder) {
  std::ofstream videos(folder / "videos.csv");
  videos << "VideoID;Frames;FPS;Surgeon;Experience\n";
  for (const Video& v : tables.videos)
    videos << fmt::format("{};{};25;{};{}\n", v.id, v.frames, v.surgeon, v.experience);
  std::ofstream annotations(folder / "annotations.csv");
  annotations << "VideoID;FrameNo;Phase\n";
  for (const Row& row : tables.rows)
    annotations << fmt::format("{};{};{}\n", row.video, row.frame, row.phase);
  std::ofstream phases(folder / "phases.csv");
  phases << "Phase;Meaning\n";
  for (std::size_t i = 0; i < kNames.size(); ++i) phases << fmt::format("{};{}\n", i + 1, kNames[i]);
}

// The summed seconds of a phase in each operation that has it.
std::vector<double> SecondsOf(const Tables& tables, int phase, int experience) {
  std::vector<double> seconds;
  for (const Video& video : tables.videos) {
    if (video.experience != experience) continue;
    int frames = 0;
    for (std::size_t i = 0; i < tables.rows.size(); ++i) {
      const Row& row = tables.rows[i];
      if (row.video != video.id || row.phase != phase) continue;
      const bool last = i + 1 == tables.rows.size() || tables.rows[i + 1].video != video.id;
      frames += (last ? video.frames : tables.rows[i + 1].frame) - row.frame;
    }
    if (frames > 0) seconds.push_back(frames / 25.0);
  }
  std::sort(seconds.begin(), seconds.end());
  return seconds;
}

double MeanOf(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

double DeviationOf(const std::vector<double>& values) {
  double squares = 0;
  for (const double value : values) squares += std::pow(value - MeanOf(values), 2);
  return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

double MiddleOf(const std::vector<double>& sorted) {
  const std::size_t half = sorted.size() / 2;
  return sorted.size() % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

std::string RunOnTables(const TemporaryFolder& folder, const std::string& arguments) {
  int status = 0;
  std::string out = OutputOf(fmt::format("cd {} && XDG_DATA_HOME={}/data {} {} 2>>errors", folder.path(),
                                         folder.path(), places::kProgram, arguments),
                             &status);
  CHECK(status == 0);
  return out;
}

}  // namespace

TEST_CASE("Three files of 101 operations come in as they are, with each phase by experience",
          "[.published]") {
  const TemporaryFolder folder;
  const Tables tables = MakeTables();
  WriteTables(tables, folder);
  RunOnTables(folder, "import cases --steps annotations.csv --case-table videos.csv --name-table phases.csv");
  const Json series = Json::parse(RunOnTables(folder, "series cases --by Experience --reference 1 --json -"));
  CHECK(series["cases"].size() == 101);
  CHECK(series["operators"] == Json({"1", "2", "3", "4"}));
  std::vector<std::string> order;
  std::map<std::string, Json> phases;
  for (const Json& measure : series["measures"])
    if (measure["name"] == "time.step_total") {
      order.push_back(measure["label"]);
      phases[order.back()] = measure;
    }
  REQUIRE(order.size() == kNames.size());
  CHECK(order.front() == "Incision");  // as the operations go, not by the alphabet
  const std::string text = RunOnTables(folder, "series cases --by Experience --reference 1");
  for (int phase = 1; phase <= 10; ++phase) {
    std::string name = kNames[static_cast<std::size_t>(phase - 1)];
    INFO(name);
    if (name == "Hydrodissection") name = "Hydrodissection and rotation";  // its name in the step list
    REQUIRE(phases.count(name) == 1);
    const Json& groups = phases[name]["groups"];
    REQUIRE(groups.size() == 2);
    for (const int experience : {1, 2}) {
      const std::vector<double> seconds = SecondsOf(tables, phase, experience);
      const Json& group = groups[static_cast<std::size_t>(experience - 1)];
      CHECK(group["name"] == fmt::format("{}", experience));
      CHECK(group["n"] == seconds.size());
      CHECK(group["mean"].get<double>() == Approx(MeanOf(seconds)).epsilon(1e-9));
      CHECK(group["sd"].get<double>() == Approx(DeviationOf(seconds)).epsilon(1e-9));
      CHECK(group["quartiles"]["median"].get<double>() == Approx(MiddleOf(seconds)).epsilon(1e-9));
      // The line to set beside the published one, in seconds.
      CHECK(text.find(fmt::format("{}: mean {:.1f} ± {:.1f}\u00a0s, median {:.1f}\u00a0s, {} cases",
                                  experience, MeanOf(seconds), DeviationOf(seconds), MiddleOf(seconds),
                                  seconds.size())) != std::string::npos);
    }
  }
}

}  // namespace afterscope
