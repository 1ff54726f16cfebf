// SPDX-License-Identifier: Apache-2.0
// Times of recordings' access, as "name value" lines in seconds or MiB; the script beside this one compares
// them with other programs. Usage: media_bench WHAT FILE [NUMBER]
#include "annotate/media/background_pictures.hpp"
#include "annotate/media/recording.hpp"
#include "tests/bench/bare_decoder.hpp"
#include "tests/bench/bench_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <functional>
#include <map>
#include <string>
#include <thread>
#include <vector>

using namespace afterscope;

namespace {

using Clock = BenchClock;
using Milliseconds = std::chrono::milliseconds;

struct Task {
  std::string file;
  std::string cache;
  double number = 0;
};

std::unique_ptr<Recording> OpenOrDie(const Task& task, bool build_table, std::int64_t cache_bytes = 0) {
  Recording::Options options;
  options.cache_folder = task.cache;
  options.build_table = build_table;
  options.cache_bytes = cache_bytes;
  auto opened = Recording::Open(task.file, options);
  if (!opened.ok()) Die(opened.error().message);
  return std::move(*opened);
}

// All frames from the first to the last.
void Sweep(const Task& task) {
  const auto start = Clock::now();
  const auto recording = OpenOrDie(task, false);
  std::int64_t frames = 0;
  const Status done = recording->Sweep({INT64_MIN / 4}, [&](const Picture&) { return ++frames > 0; }, {});
  if (!done.ok()) Die(done.error().message);
  PrintValue("sweep", Since(start));
  PrintValue("frames", static_cast<double>(frames));
}

// The table from all packets.
void Packets(const Task& task) {
  const auto start = Clock::now();
  const auto recording = OpenOrDie(task, true);
  const auto table = recording->WaitForTable(TableState::kFromPackets, {}, {});
  if (!table.ok()) Die(table.error().message);
  PrintValue("packets", Since(start));
}

// From a cold start to an exact picture at the beginning, then to one in the middle.
void First(const Task& task) {
  const auto start = Clock::now();
  const auto recording = OpenOrDie(task, true);
  const RecordingShape shape = recording->Shape();
  if (!recording->Frame(shape.first, {}).ok()) Die("There is no first picture.");
  PrintValue("first", Since(start));
  const auto middle = Clock::now();
  if (!recording->Frame(Pts{(shape.first.ticks + shape.end.ticks) / 2}, {}).ok()) Die("There is no middle.");
  PrintValue("middle", Since(middle));
}

// Plays in real time as a window of 60 pictures a second does, the table being built beside it.
void Play(const Task& task) {
  constexpr double kBudgetMiB = 512;
  constexpr double kLook = 1.0 / 60;
  const auto recording = OpenOrDie(task, true, static_cast<std::int64_t>(kBudgetMiB) << 20);
  while (recording->table()->empty()) std::this_thread::sleep_for(Milliseconds(10));
  const Pts first = recording->table()->begin();
  if (!recording->Frame(first, {}).ok()) Die("There is no first picture.");
  const double base = recording->info().time_base.value();
  std::atomic<bool> playing{true};
  double most = 0;
  std::thread weighing([&] {
    for (; playing; std::this_thread::sleep_for(Milliseconds(500))) most = std::max(most, FamilyPssMiB());
  });
  std::map<Pts, bool> frames;  // whether the picture was there in its time
  const auto start = Clock::now();
  for (int look = 0; Since(start) < task.number; ++look) {
    const auto table = recording->table();
    const Pts now = first + TickSpan{static_cast<std::int64_t>(Since(start) / base)};
    const Pts shown = (*table)[table->At(now).value_or(FrameIndex{0})].pts;
    recording->SetPlayhead(shown, 1);
    frames[shown] = recording->Cached(shown).has_value() || frames[shown];
    if (!frames[shown]) recording->Request(shown, Priority::kPlay, [](Result<Picture>) {});
    std::this_thread::sleep_until(start + std::chrono::duration<double>((look + 1) * kLook));
  }
  playing = false;
  weighing.join();
  PrintValue("play_frames", static_cast<double>(frames.size()));
  PrintValue("play_late",
             static_cast<double>(std::count_if(frames.begin(), frames.end(),
                                               [](const auto& frame) { return !frame.second; })));
  PrintValue("play_above_budget_mib", most - kBudgetMiB);
}

std::shared_ptr<const FrameTable> PacketTable(Recording& recording) {
  const auto table = recording.WaitForTable(TableState::kFromPackets, {}, {});
  if (!table.ok()) Die(table.error().message);
  return *table;
}

// Jumps to random frames, each beside the bare library's way to the same frame.
void Jumps(const Task& task) {
  const auto recording = OpenOrDie(task, true);
  const auto table = PacketTable(*recording);
  BareDecoder bare(task.file);
  std::vector<double> ours;
  std::vector<double> bares;
  double ours_total = 0;
  double bare_total = 0;
  for (const Pts pts : RandomFrames(*table, static_cast<int>(task.number))) {
    auto start = Clock::now();
    if (!recording->Frame(pts, {}).ok()) Die("A frame was not reached.");
    ours.push_back(Since(start));
    start = Clock::now();
    if (!bare.GoTo(pts.ticks)) continue;
    bares.push_back(Since(start));
    ours_total += ours.back();
    bare_total += bares.back();
  }
  PrintSpread("jump", ours);
  PrintSpread("bare_jump", bares);
  PrintValue("jumps", ours_total);
  PrintValue("bare_jumps", bare_total);
}

// From random places, at rest for a second: twenty steps back, ten a second.
void Back(const Task& task) {
  const auto recording = OpenOrDie(task, true);
  const auto table = PacketTable(*recording);
  std::vector<double> steps;
  for (const Pts from : RandomFrames(*table, static_cast<int>(task.number))) {
    if (!recording->Frame(from, {}).ok()) Die("A frame was not reached.");
    recording->SetPlayhead(from, 0);
    std::this_thread::sleep_for(Milliseconds(1000));
    std::int64_t index = table->At(from)->value;
    for (int step = 0; step < 20 && --index >= 0; ++step) {
      const auto start = Clock::now();
      recording->SetPlayhead((*table)[{index}].pts, -1);
      if (!recording->Frame((*table)[{index}].pts, {}).ok()) Die("A frame was not reached.");
      steps.push_back(Since(start));
      std::this_thread::sleep_for(Milliseconds(100));
    }
  }
  PrintSpread("back", steps);
}

// Until there is a picture of a key frame for each of so many equal parts of the recording.
void Keys(const Task& task) {
  const auto recording = OpenOrDie(task, false);
  const RecordingShape shape = recording->Shape();
  std::vector<Pts> times;
  for (int i = 0; i < static_cast<int>(task.number); ++i)
    times.push_back(
        {shape.first.ticks +
         static_cast<std::int64_t>(static_cast<double>((shape.end - shape.first).ticks) * i / task.number)});
  int pictures = 0;
  const auto start = Clock::now();
  const Status done = VisitKeyFrames(*recording, times, [&](const Picture&) { return ++pictures > 0; }, {});
  if (!done.ok()) Die(done.error().message);
  PrintValue("keys", Since(start));
  PrintValue("key_pictures", pictures);
}

}  // namespace

int main(int argc, char** argv) {
  if (const auto helper_status = RunMediaHelperIfAsked(argc, argv)) return *helper_status;
  static const std::map<std::string, std::function<void(const Task&)>> kAll{
      {"sweep", Sweep}, {"packets", Packets}, {"first", First}, {"play", Play},
      {"jumps", Jumps}, {"back", Back},       {"keys", Keys}};
  const auto what = argc >= 3 ? kAll.find(argv[1]) : kAll.end();
  if (what == kAll.end()) return 2;
  const TemporaryFolder cache;
  what->second({argv[2], cache.path(), argc > 3 ? std::atof(argv[3]) : 0});
  return 0;
}
