// SPDX-License-Identifier: Apache-2.0
// The whole window, off-screen, as a hand on the timeline and a long evening use it; "name value" lines in
// seconds or MiB. Usage (a CASE with the FILE may follow, which is then opened):
//   window_bench scrub FILE PLACES     goes to random places and waits for the pictures
//   window_bench back FILE PLACES      goes there and steps back by one frame, twenty times
//   window_bench draw FILE FRAMES      draws its first picture so often, then the toolkit alone one as large
//   window_bench first FILE 0          from nothing to the first exact picture
//   window_bench sound FILE SECONDS    plays so long at each speed at which sound is heard
//   window_bench shelf FOLDER 0        lists the cases of a folder, as the start window does
//   window_bench memory FILE MINUTES   plays at eight times the speed, scrubbing every ten seconds
#include "annotate/media/picture_cache.hpp"
#include "annotate/media/recording.hpp"
#include "app/desktop/desk/case_shelf.hpp"
#include "tests/app/desktop/stage/stage_support.hpp"
#include "tests/bench/bare_decoder.hpp"
#include "tests/bench/bench_support.hpp"

#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <thread>
#include <utility>

using namespace afterscope;

namespace {

constexpr double kRefresh = 1.0 / 60;  // of the screen
constexpr double kNearSeconds = 5;     // small pictures of 20 minutes lie 4.7 s apart
constexpr double kWarmSeconds = 20;    // for small pictures and the table
constexpr int kStepsBack = 20;

struct Task {
  std::string file;
  double number = 0;
  std::string opened;  // the file, or a case with it
};

// A window with that open, and the file's own frames.
class Bench {
 public:
  explicit Bench(const Task& task) : stage_(Stage::Make(1280, 720)) {
    if (!stage_) Die("This machine can't draw off-screen.");
    stage_->Open({task.opened});
    if (!stage_->DrawUntil([&] { return player().exact(); })) Die("There is no first picture.");
    auto opened = Recording::Open(task.file, {});
    if (!opened.ok()) Die(opened.error().message);
    const auto table = (*opened)->WaitForTable(TableState::kFromPackets, {}, {});
    if (!table.ok()) Die(table.error().message);
    table_ = *table;
  }
  Stage& stage() { return *stage_; }
  const Player& player() const { return stage_->app().player(); }
  const FrameTable& table() const { return *table_; }
  void GoTo(Pts pts) { stage_->app().ShowFrame({0, pts}); }
  double Away(Pts pts) const {
    if (player().shown().empty()) return 1e9;
    return std::abs(static_cast<double>((player().shown().frame.pts - pts).ticks)) *
           table_->time_base().value();
  }
  // Draws as a screen of 60 pictures a second does, for so long.
  void Live(double seconds) {
    const auto start = BenchClock::now();
    for (auto frame = start; Since(start) < seconds; frame = BenchClock::now()) {
      stage_->Draw(kRefresh);
      if (const double left = kRefresh - Since(frame); left > 0)
        std::this_thread::sleep_for(std::chrono::duration<double>(left));
    }
  }

 private:
  std::unique_ptr<Stage> stage_;
  std::shared_ptr<const FrameTable> table_;
};

// Small pictures yield to all else: on a busy machine they take a while. That of the end is made last.
void WaitForSmallPictures(Bench& bench) {
  const FrameIndex last{bench.table().size() - 1};
  for (int tries = 0; tries < 20; ++tries) {
    bench.Live(kWarmSeconds);
    bench.GoTo(bench.table()[last].pts);
    bench.Live(0.1);
    const bool there = bench.Away(bench.table()[last].pts) <= kNearSeconds;
    bench.GoTo(bench.table().begin());
    bench.Live(1);
    if (there) return;
  }
  Die("There are no small pictures.");
}

// From the jump until a picture near the place is drawn, and until the exact one is.
void Scrub(const Task& task) {
  Bench bench(task);
  BareDecoder bare(task.file);
  WaitForSmallPictures(bench);
  std::vector<double> near, exact, decoded;
  double all_exact = 0, all_decoded = 0;
  // Beyond the last key frame too.
  std::vector<Pts> places = RandomFrames(bench.table(), static_cast<int>(task.number));
  for (const std::int64_t before_end : {1, 60, 150}) {
    const std::int64_t index = std::max<std::int64_t>(0, bench.table().size() - before_end);
    places.push_back(bench.table()[FrameIndex{index}].pts);
  }
  for (const Pts pts : places) {
    const auto start = BenchClock::now();
    bench.GoTo(pts);
    double first = -1;
    const bool came = bench.stage().DrawUntil([&] {
      if (first < 0 && bench.Away(pts) <= kNearSeconds) first = Since(start);
      return bench.player().exact() && bench.player().shown().frame.pts == pts;
    });
    if (!came) Die("A frame was not reached.");
    near.push_back(first < 0 ? Since(start) : first);
    exact.push_back(Since(start));
    const auto alone = BenchClock::now();
    if (!bare.GoTo(pts.ticks)) continue;
    decoded.push_back(Since(alone));
    all_exact += exact.back();
    all_decoded += decoded.back();
  }
  PrintSpread("some_picture", near);
  PrintSpread("exact_picture", exact);
  PrintSpread("bare_decoding", decoded);
  PrintValue("exact_to_bare", all_exact / all_decoded);
}

void First(const Task& task) {
  const auto start = BenchClock::now();
  const Bench bench(task);
  PrintValue("first", Since(start));
}

void Shelf(const Task& task) {
  const auto start = BenchClock::now();
  const std::vector<ShelfCase> cases = FindCases(task.file, {}, {});
  if (cases.empty()) Die("There are no cases.");
  PrintValue("shelf", Since(start));
}

// Of the processor, all threads together, for one of so many.
double ProcessorSecondsOf(double times, const std::function<void()>& draw) {
  const std::clock_t start = std::clock();
  for (int i = 0; i < static_cast<int>(times); ++i) draw();
  return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC / times;
}

// A picture of that size uploaded and drawn over a window, by nothing but what the window is made with.
double BareDrawing(int width, int height, double times) {
  const auto offscreen = Offscreen::Make(1280, 720);
  if (!offscreen) Die("This machine can't draw off-screen.");
  ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;
  ImGui::GetIO().DisplaySize = {1280, 720};
  ImGui_ImplOpenGL3_Init("#version 330 core");
  const GlApi& gl = offscreen->gl();
  GLuint texture = 0;
  gl.GenTextures(1, &texture);
  gl.BindTexture(GL_TEXTURE_2D, texture);
  gl.TexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  gl.TexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
  const std::vector<std::uint32_t> pixels(static_cast<std::size_t>(width) * static_cast<std::size_t>(height),
                                          0xff808080);
  const double seconds = ProcessorSecondsOf(times, [&] {
    gl.BindTexture(GL_TEXTURE_2D, texture);
    gl.TexSubImage2D(GL_TEXTURE_2D, 0, 0, 0, width, height, GL_RGBA, GL_UNSIGNED_BYTE, pixels.data());
    ImGui_ImplOpenGL3_NewFrame();
    ImGui::NewFrame();
    ImGui::GetBackgroundDrawList()->AddImage(
        reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(texture)), {0, 0}, {1280, 720});
    ImGui::Render();
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    offscreen->Finish();
  });
  gl.DeleteTextures(1, &texture);
  ImGui_ImplOpenGL3_Shutdown();
  ImGui::DestroyContext();
  return seconds;
}

// The same picture again and again, uploaded each time.
void Draw(const Task& task) {
  int width = 0, height = 0;
  {
    Bench bench(task);
    width = bench.player().shown().width, height = bench.player().shown().height;
    PrintValue("draw", ProcessorSecondsOf(task.number, [&] {
                 bench.stage().app().ForgetPainted();
                 bench.stage().Draw(kRefresh);
               }));
  }
  PrintValue("bare_draw", BareDrawing(width, height, task.number));
}

void Back(const Task& task) {
  Bench bench(task);
  bench.Live(kWarmSeconds);
  std::vector<double> steps;
  for (const Pts pts : RandomFrames(bench.table(), static_cast<int>(task.number))) {
    bench.GoTo(pts);
    if (!bench.stage().DrawUntil([&] { return bench.player().exact(); })) Die("A frame was not reached.");
    bench.Live(1);
    for (int i = 0; i < kStepsBack; ++i) {
      const auto start = BenchClock::now();
      bench.stage().Press("Left");
      do bench.stage().Draw(kRefresh);
      while (!bench.player().exact() && Since(start) < 10);
      steps.push_back(Since(start));
      bench.Live(0.1);
    }
  }
  PrintSpread("step_back", steps);
}

// How far what is heard is from the clock, and the shown picture from what is heard; the second half against
// the first shows whether they drift apart. The bench's own clock follows the machine's.
void Sound(const Task& task) {
  Bench bench(task);
  bench.Live(1);
  const auto case_seconds = [&](FrameRef at) {
    return static_cast<double>(at.pts.ticks) * bench.table().time_base().value();
  };
  for (const auto& [key, name] : {std::pair{"", "1x"}, std::pair{"Down", "half"}, std::pair{"Up", "2x"}}) {
    bench.GoTo(bench.table().begin());
    if (name == std::string_view("2x")) bench.stage().Press("Up");
    if (*key != 0) bench.stage().Press(key);
    bench.Live(1);
    bench.stage().Press("Space");
    std::vector<double> sound, behind;
    const auto start = BenchClock::now();
    for (auto last = start; Since(start) < task.number;) {
      const double step = Since(last);
      last = BenchClock::now();
      bench.stage().Draw(step);
      if (const auto drift = bench.stage().app().SoundDrift(); drift && Since(start) > 2) {
        sound.push_back(*drift);
        behind.push_back(case_seconds(bench.player().playhead()) -
                         case_seconds(bench.player().shown().frame));
      }
      if (const double left = kRefresh - Since(last); left > 0)
        std::this_thread::sleep_for(std::chrono::duration<double>(left));
    }
    if (bench.player().playing()) bench.stage().Press("Space");
    if (sound.size() < 100) Die("No sound was heard.");
    const auto half = static_cast<std::ptrdiff_t>(sound.size() / 2);
    const std::vector<double> first(sound.begin(), sound.begin() + half);
    const std::vector<double> second(sound.begin() + half, sound.end());
    PrintSpread(std::string("sound_ahead_first_half_") + name, first);
    PrintSpread(std::string("sound_ahead_second_half_") + name, second);
    for (double& value : sound) value = std::abs(value);
    PrintSpread(std::string("sound_off_") + name, sound);
    PrintSpread(std::string("picture_behind_clock_") + name, behind);
  }
}

void Memory(const Task& task) {
  constexpr double kBetweenScrubs = 10;
  Bench bench(task);
  for (int i = 0; i < 6; ++i) bench.stage().Press("Up");
  const double length = 60 * task.number;
  const auto places = RandomFrames(bench.table(), 4096);
  std::size_t place = 0;
  std::vector<double> mib;
  const auto start = BenchClock::now();
  while (Since(start) < length) {
    if (!bench.player().playing()) bench.stage().Press("Space");
    bench.Live(kBetweenScrubs);
    mib.push_back(FamilyPssMiB());
    for (int i = 0; i < 20; ++i) {
      bench.GoTo(places[place++ % places.size()]);
      bench.Live(0.1);
    }
    mib.push_back(FamilyPssMiB());
  }
  const auto quarter = static_cast<std::ptrdiff_t>(std::max<std::size_t>(1, mib.size() / 4));
  PrintValue("speed", bench.player().speed());
  PrintValue("budget_of_pictures", static_cast<double>(DefaultCacheBytes()) / (1 << 20));
  PrintValue("most_in_first_quarter", *std::max_element(mib.begin(), mib.begin() + quarter));
  PrintValue("most_in_last_quarter", *std::max_element(mib.end() - quarter, mib.end()));
  PrintValue("most", *std::max_element(mib.begin(), mib.end()));
}

}  // namespace

int main(int argc, char** argv) {
  if (const auto helper_status = RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  static const std::map<std::string, std::function<void(const Task&)>> kAll{
      {"scrub", Scrub}, {"back", Back},     {"first", First}, {"draw", Draw},
      {"sound", Sound}, {"memory", Memory}, {"shelf", Shelf}};
  const auto what = argc == 4 || argc == 5 ? kAll.find(argv[1]) : kAll.end();
  if (what == kAll.end()) return 2;
  std::setvbuf(stdout, nullptr, _IOLBF, 0);
  what->second({argv[2], std::atof(argv[3]), argv[argc == 5 ? 4 : 2]});
  return 0;
}
