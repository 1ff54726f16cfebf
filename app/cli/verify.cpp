// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/exported_number.hpp"
#include "annotate/jobs/verify/verify_report.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/cli/verbs.hpp"
#include "app/common/assets.hpp"
#include "app/common/console.hpp"
#include "app/common/number_options.hpp"
#include "app/common/text_output.hpp"
#include "app/common/work_queue.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <opencv2/core/utility.hpp>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <numeric>
#include <random>
#include <system_error>
#include <thread>
#include <utility>

namespace afterscope {
namespace {

constexpr int kFoundWrong = 1;

struct VerifyCall {
  std::uint64_t seed = kVerifySeed;
  int count = 3;
  std::string json;
  std::string keep;
  int workers = 0;
};

// A new folder for one run, removed with all that is in it at the end.
class ScratchFolder {
 public:
  static Result<ScratchFolder> Make() {
    std::error_code failed;
    const auto parent = std::filesystem::temp_directory_path(failed);
    if (failed)
      return Error{
          ErrorCode::kUnwritable,
          fmt::format("There is no folder for temporary files: {}; name one with --keep.", failed.message())};
    std::random_device random;
    ScratchFolder out;
    out.path_ = (parent / fmt::format("afterscope-verify-{:08x}{:08x}", random(), random())).string();
    AFTERSCOPE_TRY(RealFileSystem().MakeFolder(out.path_));
    return out;
  }
  ~ScratchFolder() {
    if (!path_.empty()) (void)RemoveTree(RealFileSystem(), path_);
  }
  ScratchFolder(ScratchFolder&& other) noexcept : path_(std::exchange(other.path_, {})) {}
  ScratchFolder& operator=(ScratchFolder&&) = delete;
  const std::string& path() const { return path_; }

 private:
  ScratchFolder() = default;
  std::string path_;
};

Status MustBeEmpty(const std::string& folder) {
  AFTERSCOPE_TRY(MakeFolders(RealFileSystem(), folder));
  AFTERSCOPE_ASSIGN(const std::vector<std::string> inside, RealFileSystem().List(folder));
  if (inside.empty()) return {};
  return Error{
      ErrorCode::kBadCall,
      fmt::format("The phantoms can't be kept in '{}', which is not empty: name another folder.", folder)};
}

Status RunIn(const std::string& folder, const VerifyCall& call, VerifyRun& run) {
  const std::vector<VerifyPhantom> plans = PlanVerify(call.seed, call.count);
  run.phantoms.resize(plans.size());
  AFTERSCOPE_ASSIGN(const StepList steps, LoadStepList(CaseRecord{}, folder, AssetsFolder()));
  // What takes longest begins first, so that no worker waits at the end.
  const auto pictures = [&](std::size_t i) {
    const phantom::Scene& scene = plans[i].scene;
    return scene.width * scene.height * (scene.interlaced ? 2 : 1);
  };
  std::vector<std::size_t> order(plans.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return pictures(a) > pictures(b); });
  std::vector<WorkItem> items;
  items.reserve(order.size());
  for (const std::size_t i : order)
    items.push_back([&, i](const Progress& progress, const StopQuery& stop) -> Status {
      AFTERSCOPE_ASSIGN(run.phantoms[i], RunPhantom(plans[i], folder, steps, progress, stop));
      return {};
    });
  const int processors = static_cast<int>(std::thread::hardware_concurrency());
  const int workers = call.workers > 0 ? call.workers : std::clamp(processors, 1, 16);
  return RunAll(items, workers, ConsoleProgress("Verifying"), ConsoleStop());
}

Result<bool> Verify(const VerifyCall& call) {
  VerifyRun run;
  run.seed = call.seed;
  run.program = AFTERSCOPE_VERSION;
  if (call.keep.empty()) {
    AFTERSCOPE_ASSIGN(const ScratchFolder folder, ScratchFolder::Make());
    AFTERSCOPE_TRY(RunIn(folder.path(), call, run));
  } else {
    AFTERSCOPE_TRY(MustBeEmpty(call.keep));
    AFTERSCOPE_TRY(RunIn(call.keep, call, run));
  }
  run.verdicts = JudgeFindings(run.phantoms);
  if (!call.json.empty())
    AFTERSCOPE_TRY(WriteJsonOutput(call.json, ReadableText(WithExportedNumbers(VerifyJson(run)))));
  if (call.json != "-") ShowText(VerifyText(run));
  return AllPassed(run.phantoms, run.verdicts);
}

}  // namespace

Command VerifyCommand() {
  return {"verify",
          "Tries the whole chain on phantoms on this machine, and prints measured beside true values",
          [](CLI::App& sub) {
            auto call = std::make_shared<VerifyCall>();
            sub.add_option("--seed", call->seed, "of fresh phantoms (default: always the same ones)")
                ->check(AnyNumber());
            sub.add_option("--count", call->count, "of phantoms: usual, easy and hard in turn")
                ->check(NumberWithin(1, 1000))
                ->capture_default_str();
            sub.add_option("--json", call->json, "file for everything as JSON, - for standard output");
            sub.add_option("--keep", call->keep, "new or empty folder in which recordings and cases stay");
            sub.add_option("--workers", call->workers, "threads; default: one a processor")
                ->check(NumberWithin(0, 64));
            return [call] {
              cv::setNumThreads(1);  // the workers are threads enough
              const Result<bool> passed = Verify(*call);
              if (!passed.ok()) return Failed(passed.error());
              return *passed ? 0 : kFoundWrong;
            };
          }};
}

}  // namespace afterscope
