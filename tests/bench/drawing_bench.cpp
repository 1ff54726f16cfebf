// SPDX-License-Identifier: Apache-2.0
// How long the window takes to draw, off-screen with whatever OpenGL the machine has (software rendering
// without a graphics card): while it plays a recording in real time, and drawing alone without decoding
// beside it. Usage: drawing_bench FILE [SECONDS [WIDTH HEIGHT]]
#include "annotate/media/recording.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/bench/bench_support.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <thread>
#include <vector>

using namespace afterscope;

namespace {

constexpr double kRefresh = 1.0 / 60;  // of the screen

void Print(const std::string& what, std::vector<double> seconds) {
  if (seconds.empty()) return;
  std::sort(seconds.begin(), seconds.end());
  const auto at = [&](double share) { return 1000 * ValueAt(seconds, share); };
  const auto over = [&](double limit) {
    return 100.0 *
           static_cast<double>(seconds.end() - std::upper_bound(seconds.begin(), seconds.end(), limit)) /
           static_cast<double>(seconds.size());
  };
  fmt::print(
      "{}: median {:.1f} ms, 95 % {:.1f} ms, most {:.1f} ms; over 33.4 ms {:.2f} %, over 16.7 ms {:.2f} % of "
      "{}\n",
      what, at(0.5), at(0.95), at(1), over(0.0334), over(0.0167), seconds.size());
}

// As a window on a 60 Hz screen does: draws, and waits for the next refresh.
void Play(Stage& stage, const std::string& what, double length) {
  stage.Press("Home");
  stage.DrawUntil([&] { return stage.app().player().exact(); });
  stage.Press("Space");
  std::vector<double> intervals;
  std::vector<double> drawing;
  std::vector<double> drift;  // of what is heard from the clock that the pictures follow
  int pictures = 0;
  FrameRef last = stage.app().player().shown().frame;
  const auto start = BenchClock::now();
  auto frame = start;
  double step = kRefresh;
  while (Since(start) < length) {
    drawing.push_back(stage.Draw(step));
    if (const auto ahead = stage.app().SoundDrift()) drift.push_back(std::abs(*ahead));
    const FrameRef shown = stage.app().player().shown().frame;
    pictures += shown != last;
    last = shown;
    if (Since(frame) < kRefresh)
      std::this_thread::sleep_until(
          frame + std::chrono::duration_cast<BenchClock::duration>(std::chrono::duration<double>(kRefresh)));
    step = Since(frame);
    intervals.push_back(step);
    frame = BenchClock::now();
  }
  stage.Press("Space");
  Print(what + ", from frame to frame", intervals);
  Print(what + ", drawing", drawing);
  Print(what + ", sound from the clock", drift);
  fmt::print("{}: {:.1f} pictures a second shown\n", what, pictures / length);
}

// The same picture drawn again and again, uploaded each time. Processor time is what a busy machine says too.
void DrawAlone(Stage& stage, const std::string& what) {
  stage.DrawUntil([&] { return stage.app().player().exact(); });
  constexpr int kFrames = 60;
  std::vector<double> drawing;
  const std::clock_t start = std::clock();
  for (int i = 0; i < kFrames; ++i) {
    stage.app().ForgetPainted();
    drawing.push_back(stage.Draw());
  }
  const double processor = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  Print(what, drawing);
  fmt::print("{}: {:.1f} ms of processor time a frame, all threads of the window together\n", what,
             1000 * processor / kFrames);
}

}  // namespace

int main(int argc, char** argv) {
  if (const auto helper_status = RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  if (argc < 2) return 2;
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  const double length = argc > 2 ? std::atof(argv[2]) : 10;
  const int width = argc > 4 ? std::atoi(argv[3]) : 1280;
  const int height = argc > 4 ? std::atoi(argv[4]) : 720;
  auto stage = Stage::Make(width, height);
  if (!stage) return 3;
  fmt::print("OpenGL: {}, window {} by {}\n", stage->Renderer(), width, height);
  stage->Open({argv[1]});
  if (!stage->DrawUntil([&] { return !stage->app().player().shown().empty(); })) return 3;
  Play(*stage, "playing", length);
  DrawAlone(*stage, "drawing alone");
  stage->Press("Alt+L");
  Play(*stage, "playing with local contrast", length);
  DrawAlone(*stage, "drawing alone with local contrast");
  stage->Press("Alt+D");
  DrawAlone(*stage, "drawing alone with local contrast, deinterlaced");
  return 0;
}
