// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/player/player.hpp"
#include "tests/app/desktop/player/player_support.hpp"

#include <catch2/catch.hpp>

#include <future>
#include <vector>

namespace afterscope {
namespace {

// Two recordings of 8 s, played as a window does, but without one.
class Stage {
 public:
  Stage() {
    std::vector<Reel::Source> sources;
    for (const char* name : {"first.mp4", "second.mp4"}) {
      const std::string file = MovingRecording(folder_, name, 8);
      sources.push_back({name, [file]() -> Result<std::string> { return file; }, folder_ / "cache"});
    }
    reel_.Open(sources);
    REQUIRE(ComesTrue([this] {
      jobs_.Drain();
      return reel_.AllSettled() && reel_.At(0) != nullptr && reel_.At(1) != nullptr;
    }));
    for (int i : {0, 1}) REQUIRE(reel_.At(i)->WaitForTable(TableState::kVerified, {}, {}).ok());
  }

  Player& player() { return player_; }
  double now() const { return now_; }
  FrameRef Frame(int recording, std::int64_t index) {
    return {recording, (*reel_.tables()[static_cast<std::size_t>(recording)])[{index}].pts};
  }
  double Seconds() { return Clock().Seconds(player_.playhead()); }
  double ShownSeconds() { return Clock().Seconds(player_.shown().frame); }
  void Look() {
    jobs_.Drain();
    player_.Update(Clock(), now_);
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
    now_ += 0.005;
  }
  template <class Condition>
  bool LookUntil(const Condition& condition) {
    for (int looks = 0; !condition() && looks < 6000; ++looks) Look();
    return condition();
  }

 private:
  CaseClock Clock() const { return CaseClock(reel_.Known({})); }

  TemporaryFolder folder_;
  JobRunner jobs_{2};
  Reel reel_{jobs_, 512LL << 20, true};
  Player player_{reel_, [] {}};
  double now_ = 100;
};

}  // namespace

TEST_CASE("It plays from one recording into the next, and only forwards", "[player]") {
  Stage stage;
  Player& player = stage.player();
  player.JumpTo(stage.Frame(0, 180), stage.now());  // 0.8 s before the end
  REQUIRE(stage.LookUntil([&] { return player.exact(); }));
  player.TogglePlay(stage.now());
  double last = stage.Seconds();
  bool forwards = true;
  REQUIRE(stage.LookUntil([&] {
    forwards = forwards && stage.Seconds() >= last;
    last = stage.Seconds();
    return player.playhead().recording == 1 && player.playhead() >= stage.Frame(1, 20) && player.exact();
  }));
  CHECK(forwards);
  player.Pause(stage.now());
  CHECK(player.count().shown() > 0);
  CHECK(player.count().shown() + player.count().late() + player.count().passed_over() >= 40);
  CHECK(stage.LookUntil([&] { return player.exact(); }));
}

// As when a case is opened at a stretch that is to be played at once.
TEST_CASE("What is played while its recording is still being opened plays from its frame", "[player]") {
  JobRunner jobs{2};
  Reel reel{jobs, 64LL << 20, true};
  std::promise<void> found;
  reel.Open({{"slow.mp4",
              [wait = found.get_future().share()]() -> Result<std::string> {
                wait.wait();
                return Error{ErrorCode::kUnreadable, "It never came."};
              },
              ""}});
  RecordingRef recording;
  recording.shape.time_base = {1, 25};
  recording.shape.end = {500};  // 20 s
  const CaseClock clock({recording});
  Player player{reel, [] {}};
  player.Update(clock, 100);
  player.JumpTo({0, {250}}, 100);
  player.TogglePlay(100);
  player.Update(clock, 100.1);
  CHECK(player.playing());
  CHECK(clock.Seconds(player.playhead()) >= 10);
  CHECK(clock.Seconds(player.playhead()) < 10.5);
  found.set_value();
}

TEST_CASE("It plays backwards to the very first frame and rests there", "[player]") {
  Stage stage;
  Player& player = stage.player();
  player.JumpTo(stage.Frame(1, 10), stage.now());
  REQUIRE(stage.LookUntil([&] { return player.exact(); }));
  player.TogglePlayBackwards(stage.now());
  CHECK(player.backwards());
  player.Faster(stage.now());
  double last = stage.Seconds();
  bool backwards = true;
  double shown = stage.ShownSeconds();
  bool shown_backwards = true;
  REQUIRE(stage.LookUntil([&] {
    backwards = backwards && stage.Seconds() <= last;
    shown_backwards = shown_backwards && stage.ShownSeconds() <= shown;
    last = stage.Seconds();
    shown = stage.ShownSeconds();
    return !player.playing();
  }));
  CHECK(backwards);
  CHECK(shown_backwards);
  CHECK(player.playhead() == stage.Frame(0, 0));
  CHECK(stage.LookUntil([&] { return player.exact(); }));
  player.TogglePlayBackwards(stage.now());  // from the end again
  stage.Look();
  CHECK(player.playhead().recording == 1);
}

TEST_CASE("The other direction's key turns it round", "[player]") {
  Stage stage;
  Player& player = stage.player();
  player.TogglePlay(stage.now());
  player.TogglePlayBackwards(stage.now());
  CHECK(player.playing());
  CHECK(player.backwards());
  player.TogglePlay(stage.now());
  CHECK(player.playing());
  CHECK_FALSE(player.backwards());
  player.TogglePlay(stage.now());
  CHECK_FALSE(player.playing());
}

TEST_CASE("A jump shows something near at once, and what stands in is never taken for the frame",
          "[player]") {
  Stage stage;
  Player& player = stage.player();
  REQUIRE(stage.LookUntil([&] { return player.exact(); }));
  bool stood_in = false;
  bool honest = true;
  for (const FrameRef at :
       {stage.Frame(1, 120), stage.Frame(0, 30), stage.Frame(1, 199), stage.Frame(0, 124)}) {
    player.JumpTo(at, stage.now());
    REQUIRE(stage.LookUntil([&] {
      stood_in = stood_in || player.stands_in();
      honest = honest && !(player.stands_in() && player.exact());
      return player.exact();
    }));
    CHECK(player.shown().frame == at);
    CHECK(player.shown().width == 640);
  }
  CHECK(honest);
  WARN((stood_in ? "A small picture stood in." : "The frames came before a small picture was needed."));
}

}  // namespace afterscope
