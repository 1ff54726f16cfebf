// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/series/finding_cache.hpp"
#include "annotate/media/sealed_file.hpp"
#include "annotate/report/document/sheet_document.hpp"
#include "annotate/report/write_report.hpp"
#include "annotate/store/followed_files.hpp"
#include "annotate/store/pending_file.hpp"
#include "annotate/store/step_list_file.hpp"
#include "tests/annotate/report/report_support.hpp"
#include "tests/annotate/store/fault_support.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

namespace afterscope {
namespace {

constexpr const char* kCase = "/memory/case";

// Something that is kept in a file; two versions of it.
struct KeptFile {
  const char* name;
  std::string path;
  std::function<Status(FileSystem&, int version)> write;
  bool tells = true;  // false: a cache, which only costs time where it can't be written
};

StepList ListOf(int version) {
  StepList list = ThreeSteps().steps;
  list.name = fmt::format("Version {}", version);
  return list;
}

ReportModel ReportOf(int version) {
  InventedCase made = ThreeSteps();
  made.steps.steps.front().name = fmt::format("Version {}", version);
  return ModelOf(made);
}

std::vector<KeptFile> KeptFiles() {
  const auto report = [](ReportFormat format, const char* path) {
    return [format, path, first = ReportOf(1), second = ReportOf(2)](FileSystem& files, int version) {
      const auto written = WriteReport(version == 1 ? first : second, format, path, {}, files);
      return written.ok() ? Status() : Status(written.error());
    };
  };
  return {
      {"step list", "/memory/case/own.json",
       [](FileSystem& files, int version) {
         return SaveStepList(ListOf(version), "/memory/case/own.json", files);
       }},
      {"clip plan", "/memory/case/clips/one.json",
       [](FileSystem& files, int version) {
         ClipPlan plan;
         plan.name = "one";
         ClipPart part;
         part.kind = ClipPartKind::kTitle;
         part.seconds = 3;
         part.text = fmt::format("Version {}", version);
         plan.parts = {part};
         return SaveClipPlan(kCase, plan, files);
       }},
      {"voice takes", "/memory/case/clips/voice/takes.json",
       [](FileSystem& files, int version) {
         return SaveTakes(kCase, {{"a", "take-00ff.ogg", "", 1.0 + version, {{0, {0, Pts{5}}}}, {}}}, files);
       }},
      {"followed trail", "/memory/case/reviews/r1/followed/trail-t1-0.json",
       [](FileSystem& files, int version) {
         FollowedTrail trail;
         trail.trail = {"t1"};
         trail.range = {Pts{0}, Pts{version}};
         return SaveFollowed(kCase, {"r1"}, trail, files);
       }},
      {"kept findings", "/memory/case/cache/findings-r1.json",
       [](FileSystem& files, int version) -> Status {
         WriteFindingCache(kCase, "r1", {fmt::format("{}", version), "marks"}, {}, files);
         return {};
       },
       false},
      {"small pictures and frame tables", "/memory/case/cache/one.small",
       [](FileSystem& files, int version) -> Status {
         SaveSealed(files, "/memory/case/cache", "one.small", fmt::format("version {}", version));
         return {};
       },
       false},
      {"report page", "/memory/case/r.html", report(ReportFormat::kHtml, "/memory/case/r.html")},
      {"report table", "/memory/case/r.csv", report(ReportFormat::kCsv, "/memory/case/r.csv")},
      {"report JSON", "/memory/case/r.json", report(ReportFormat::kJson, "/memory/case/r.json")},
      {"series page", "/memory/case/s.html",
       [](FileSystem& files, int version) {
         SheetDocument document;
         document.title = fmt::format("Version {}", version);
         return WriteDocument(document, "/memory/case/s.html", {}, files);
       }},
  };
}

std::string BytesAt(FileSystem& files, const std::string& path) {
  const auto bytes = files.ReadAll(path, 1 << 24);
  return bytes.ok() ? *bytes : "none";
}

// A disk on which the file holds its first version.
std::unique_ptr<MemoryFiles> DiskWithFirst(const KeptFile& file) {
  auto disk = std::make_unique<MemoryFiles>();
  REQUIRE(MakeFolders(*disk, kCase).ok());
  REQUIRE(file.write(*disk, 1).ok());
  return disk;
}

bool HasLeftovers(FileSystem& files, const std::string& folder) {
  const auto names = files.List(folder);
  return names.ok() && std::any_of(names->begin(), names->end(),
                                   [](const std::string& name) { return IsTemporaryName(name); });
}

}  // namespace

TEST_CASE("Each file that is replaced is old or new, whatever call fails", "[store][crash]") {
  int points = 0;
  for (const KeptFile& file : KeptFiles()) {
    const auto clean = DiskWithFirst(file);
    const std::string first = BytesAt(*clean, file.path);
    REQUIRE(file.write(*clean, 2).ok());
    const std::string second = BytesAt(*clean, file.path);
    REQUIRE(first != second);
    for (const bool for_ever : {false, true})
      for (int n = 1;; ++n) {
        const auto disk = DiskWithFirst(file);
        bool hit = false;
        WatchedFiles watched(*disk, [&](int call, const std::string& what) -> Status {
          if (call < n || (!for_ever && call > n)) return {};
          hit = true;
          return Error{ErrorCode::kUnwritable, what + ": no space left."};
        });
        const Status written = file.write(watched, 2);
        if (!hit) break;
        ++points;
        INFO(file.name << ", call " << n << (for_ever ? " and ever after" : ""));
        const std::string found = BytesAt(*disk, file.path);
        REQUIRE((found == second || (found == first && (!written.ok() || !file.tells))));
        if (!written.ok()) CHECK(written.error().message.ends_with('.'));
      }
  }
  WARN("replaced files: " << points << " failing calls");
  CHECK(points > 100);
}

TEST_CASE("Each file that is replaced survives a power loss at every call as old or new", "[store][crash]") {
  std::mt19937 random(2);
  int images = 0;
  for (const KeptFile& file : KeptFiles()) {
    const auto clean = DiskWithFirst(file);
    const std::string first = BytesAt(*clean, file.path);
    REQUIRE(file.write(*clean, 2).ok());
    const std::string second = BytesAt(*clean, file.path);
    for (int n = 1;; ++n) {
      const auto disk = DiskWithFirst(file);
      bool ended = false;
      WatchedFiles watched(*disk, [&](int call, const std::string&) -> Status {
        if (call < n) return {};
        ended = true;
        return Error{ErrorCode::kUnwritable, "ended."};
      });
      const bool acknowledged = file.write(watched, 2).ok() && file.tells;
      for (int policy = 0; policy < 4; ++policy) {
        const auto keep = [&] { return policy == 0 ? false : policy == 1 ? true : random() % 2 == 0; };
        const auto image = disk->AfterPowerLoss(keep, random);
        ++images;
        INFO(file.name << ", ended at call " << n << ", policy " << policy);
        const std::string found = BytesAt(*image, file.path);
        REQUIRE((found == second || (found == first && !acknowledged) || (found == "none" && !file.tells)));
        // The next time it is written, what was left goes.
        REQUIRE(file.write(*image, 2).ok());
        CHECK(BytesAt(*image, file.path) == second);
        CHECK_FALSE(HasLeftovers(*image, FolderOf(file.path)));
      }
      if (!ended) break;
    }
  }
  WARN("replaced files: " << images << " images after a power loss");
  CHECK(images > 200);
}

}  // namespace afterscope
