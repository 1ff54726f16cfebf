// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/voice_take.hpp"
#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/clip/keep_take.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// One recording of 100 s, a thousand ticks a second.
CaseClock Clock() {
  RecordingRef recording;
  recording.shape.time_base = {1, 1000};
  recording.shape.end = Pts{100'000};
  return CaseClock({recording});
}

FrameRef At(double seconds) { return {0, Pts{static_cast<std::int64_t>(seconds * 1000 + 0.5)}}; }

// Seen sixty times a second: 4 s of playing from 10 s on, 3 s of rest, back to 8 s, 2 s of playing at half
// speed.
std::vector<TakeAnchor> Seen() {
  std::vector<TakeAnchor> seen;
  for (int i = 0; i < 9 * 60; ++i) {
    const double t = i / 60.0;
    const double at = t < 4 ? 10 + t : t < 7 ? 14 : 8 + (t - 7) / 2;
    seen.push_back({t, At(at)});
  }
  return seen;
}

VoiceTake Take(const char* id, double start, double seconds) {
  return {id, "take-00ff.ogg", "", seconds, {{0, At(start)}, {seconds, At(start + seconds)}}, {}};
}

ClipPart StretchInSeconds(double from, double to, double speed) {
  ClipPart part;
  part.start = At(from);
  part.end = At(to);
  part.speed = speed;
  part.voice = true;
  return part;
}

}  // namespace

TEST_CASE("A take's path keeps where it played, rested and jumped, and nothing between", "[voice]") {
  const std::vector<TakeAnchor> path = PathFrom(Seen(), 9, Clock());
  CHECK(path.size() <= 6);
  CHECK(path.front() == TakeAnchor{0, At(10)});
  CHECK(path.back().seconds == 9);
  CHECK(Clock().Seconds(path.back().at) == Approx(9).margin(0.05));
  CHECK(PathFrom({}, 3, Clock()).empty());
  const std::vector<TakeAnchor> rest = PathFrom({{0, At(5)}}, 2, Clock());
  CHECK(rest == std::vector<TakeAnchor>{{0, At(5)}, {2, At(5)}});
}

TEST_CASE("The clip of a take shows what was on the screen while it was spoken", "[voice]") {
  VoiceTake take = Take("take1", 10, 9);
  take.path = PathFrom(Seen(), 9, Clock());
  const std::vector<ClipPart> parts = PartsOfTake(take, Clock());
  REQUIRE(parts.size() == 3);
  CHECK(parts[0].kind == ClipPartKind::kStretch);
  CHECK(parts[0].speed == 1);
  CHECK(Clock().Seconds(parts[0].end) == Approx(14).margin(0.05));
  CHECK(parts[1].kind == ClipPartKind::kStill);
  CHECK(parts[1].seconds == Approx(3).margin(0.05));
  CHECK(parts[2].speed == Approx(0.5).margin(0.02));
  for (const ClipPart& part : parts) CHECK(part.take == "take1");
  CHECK(parts[1].take_from == Approx(4).margin(0.05));
  CHECK(parts[2].take_from == Approx(7).margin(0.05));
}

TEST_CASE("A take is heard from its first frame on, later where another is still spoken", "[voice]") {
  const std::vector<VoiceTake> takes{Take("a", 20, 4), Take("b", 22, 5), Take("c", 50, 5)};
  const auto pieces = VoiceOfPart(StretchInSeconds(10, 30, 2), 10, takes, Clock());
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0].at == Approx(5));  // (20 - 10) / 2
  CHECK(pieces[0].length == Approx(4));
  CHECK(pieces[1].at == Approx(9));  // its frame comes at 6, the first take ends at 9
  CHECK(pieces[1].length == Approx(1));
  CHECK(pieces[1].left_out == Approx(4));
  ClipPart named = StretchInSeconds(60, 70, 1);
  named.take = "b";
  named.take_from = 2;
  const auto alone = VoiceOfPart(named, 10, takes, Clock());
  REQUIRE(alone.size() == 1);
  CHECK(alone[0].from == 2);
  CHECK(alone[0].length == Approx(3));
  named.voice = false;
  CHECK(VoiceOfPart(named, 10, takes, Clock()).empty());
  CHECK(TakeBefore(takes, At(30))->id == "b");
  CHECK(TakeBefore(takes, At(1)) == nullptr);
}

TEST_CASE("The words of a take are shown sentence by sentence", "[voice]") {
  VoiceTake take = Take("a", 0, 10);
  take.words = "Lift the flap. Now turn it.";
  CHECK(TakeWordsAt(take, 0) == "Lift the flap.");
  CHECK(TakeWordsAt(take, 9.9) == "Now turn it.");
  CHECK(TakeWordsAt(take, 10).empty());
  take.words.clear();
  CHECK(TakeWordsAt(take, 1).empty());
}

TEST_CASE("Takes read back as they were written, in order of their frames", "[voice]") {
  const TemporaryFolder folder;
  CHECK(LoadTakes(folder.path()).value().empty());
  VoiceTake late = Take("b", 22, 5);
  late.words = "Slowly";
  REQUIRE(SaveTakes(folder.path(), {late, Take("a", 20, 4)}).ok());
  const auto back = LoadTakes(folder.path());
  REQUIRE(back.ok());
  CHECK(*back == std::vector<VoiceTake>{Take("a", 20, 4), late});
  REQUIRE(SaveTakes(folder.path(), {}).ok());
  CHECK(LoadTakes(folder.path()).value().empty());
}

TEST_CASE("A take that names a file outside the folder is refused", "[voice]") {
  const TemporaryFolder folder;
  for (const char* file : {"../../scrubbed.ogg", "/etc/scrubbed", "..\\scrubbed"}) {
    VoiceTake take = Take("a", 20, 4);
    take.file = file;
    REQUIRE(SaveTakes(folder.path(), {take}).ok());
    CHECK_FALSE(LoadTakes(folder.path()).ok());
  }
}

TEST_CASE("A part that stands still at a frame goes on where it was", "[clip]") {
  ClipPart part = StretchInSeconds(10, 20, 0.5);
  part.notes = {{0.1, 0.1, 0.2, 0.2, "early", 1, 3}, {0.1, 0.1, 0.2, 0.2, "late", 12, 14}};
  const auto frozen = Frozen(part, At(14), 3, Clock());
  REQUIRE(frozen.size() == 3);
  CHECK(frozen[0].end == At(14));
  CHECK(frozen[1].kind == ClipPartKind::kStill);
  CHECK(frozen[1].seconds == 3);
  CHECK(frozen[2].start == At(14));
  CHECK(frozen[0].notes.size() == 1);
  REQUIRE(frozen[2].notes.size() == 1);
  CHECK(frozen[2].notes[0].start == Approx(4));  // 12 s into the part; the frame is reached after 8 s
  CHECK(Frozen(part, At(30), 3, Clock()).size() == 1);
  CHECK(Frozen(part, At(10), 3, Clock()).size() == 2);
}

TEST_CASE("Words of a take that could not be read again are refused, and the takes stay", "[voice]") {
  const TemporaryFolder folder;
  const std::string words = GENERATE(std::string("caf\xC3"), std::string(70'000, 'x'));
  REQUIRE(SaveTakes(folder.path(), {Take("a", 20, 4)}).ok());
  CHECK(SetTakeWords(folder.path(), "a", words).error().code == ErrorCode::kBadCall);
  CHECK(LoadTakes(folder.path()).value().size() == 1);
  CHECK(SetTakeWords(folder.path(), "a", std::string(65'536, 'x')).ok());
  CHECK(LoadTakes(folder.path()).value().size() == 1);
}

}  // namespace afterscope
