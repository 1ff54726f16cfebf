// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/digest.hpp"
#include "annotate/media/exact_reader.hpp"
#include "annotate/media/picture_check.hpp"
#include "annotate/media/recording.hpp"
#include "tests/annotate/media/media_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <atomic>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <set>
#include <sys/stat.h>
#include <thread>

using namespace afterscope;

namespace {

std::string WithText(const TemporaryFolder& folder, const std::string& name, const std::string& text) {
  std::ofstream(folder / name) << text;
  return folder / name;
}

// Those that this one started and that have not been waited for.
std::set<int> ChildProcesses() {
  std::set<int> pids;
  for (const auto& thread : std::filesystem::directory_iterator("/proc/self/task")) {
    std::ifstream children(thread.path() / "children");
    for (int pid = 0; children >> pid;) pids.insert(pid);
  }
  return pids;
}

// Refused in time with one sentence.
void CheckRefused(const std::string& path) {
  INFO(path);
  const auto start = std::chrono::steady_clock::now();
  const auto opened = Recording::Open(path, {});
  REQUIRE_FALSE(opened.ok());
  CHECK(opened.error().code == ErrorCode::kUnreadable);
  CHECK(opened.error().message.ends_with('.'));
  CHECK(opened.error().message.find('\n') == std::string::npos);
  CHECK(std::chrono::steady_clock::now() - start < std::chrono::seconds(5));
}

std::string State(const std::string& file) {
  struct stat status {};
  REQUIRE(stat(file.c_str(), &status) == 0);
  std::ifstream stream(file, std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(stream)), {});
  return std::to_string(status.st_ino) + " " + std::to_string(status.st_mtim.tv_sec) + "." +
         std::to_string(status.st_mtim.tv_nsec) + " " + Sha256Hex(bytes);
}

}  // namespace

TEST_CASE("What is no recording is refused with one sentence") {
  const TemporaryFolder folder;
  const std::string real = MediaFolder() + "/files/bframes.mp4";
  const std::string segment = MediaFolder() + "/files/bframes.ts";
  CheckRefused(WithText(folder, "playlist.mp4",
                        "#EXTM3U\n#EXT-X-TARGETDURATION:4\n#EXTINF:4,\n" + segment + "\n#EXT-X-ENDLIST\n"));
  CheckRefused(WithText(folder, "script.mp4", "ffconcat version 1.0\nfile '" + real + "'\n"));
  CheckRefused(
      WithText(folder, "session.mp4", "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nm=video 5004 RTP/AVP 96\n"));
  CheckRefused(WithText(folder, "text.mp4", "nothing but words"));
  CheckRefused(WithText(folder, "empty.mp4", ""));
  CheckRefused("/etc/passwd");
  CheckRefused("/dev/zero");
  CheckRefused(folder.path());
  CheckRefused(folder / "absent.mp4");
  CheckRefused("http://127.0.0.1/x.mp4");
  CheckRefused("concat:" + real);
  REQUIRE(mkfifo((folder / "pipe.mp4").c_str(), 0600) == 0);
  CheckRefused(folder / "pipe.mp4");
}

TEST_CASE("Opening a recording can be stopped") {
  const auto opened = Recording::Open(MediaFolder() + "/files/bframes.mp4", {}, [] { return true; });
  REQUIRE_FALSE(opened.ok());
  CHECK(opened.error().code == ErrorCode::kStopped);
}

TEST_CASE("A recording is a regular file, however its path leads there") {
  namespace fs = std::filesystem;
  const TemporaryFolder folder;
  const std::string real = MediaFolder() + "/files/bframes.mp4";
  fs::create_directory(folder / "inner");
  fs::create_symlink(real, folder / "link.mp4");
  fs::create_symlink(folder / "link.mp4", folder / "link of link.mp4");
  for (const std::string name : {"-y.mp4", "%03d.mp4", "a\nb.mp4", "concat:x.mp4", "[1].mp4"})
    fs::copy_file(real, folder / name);
  for (const std::string name :
       {"link.mp4", "link of link.mp4", "inner/../link.mp4", "-y.mp4", "%03d.mp4", "a\nb.mp4", "[1].mp4"}) {
    INFO(name);
    Recording::Options options;
    options.build_table = false;
    const auto opened = Recording::Open(folder / name, options);
    REQUIRE(opened.ok());
    CHECK((*opened)->info().path.find("..") == std::string::npos);
    CHECK((*opened)->info().file_bytes == static_cast<std::int64_t>(fs::file_size(real)));
  }
  REQUIRE(mkfifo((folder / "pipe").c_str(), 0600) == 0);
  fs::create_symlink(folder / "pipe", folder / "to pipe.mp4");
  fs::create_symlink("/dev/zero", folder / "to device.mp4");
  fs::create_symlink(folder / "inner", folder / "to folder.mp4");
  fs::create_symlink(folder / "nowhere", folder / "to nothing.mp4");
  fs::create_symlink(folder / "to itself.mp4", folder / "to itself.mp4");
  for (const char* name : {"to pipe.mp4", "to device.mp4", "to folder.mp4", "to nothing.mp4", "to itself.mp4",
                           "link.mp4/../link.mp4", "inner/.."})
    CheckRefused(folder / name);
  CheckRefused("");
  CheckRefused(real + std::string(1, '\0'));
}

TEST_CASE("Limits refuse what is larger") {
  Recording::Options options;
  options.build_table = false;
  options.limits.most_pixels = 160 * 120;
  CHECK(Recording::Open(MediaFolder() + "/files/bframes.mp4", options).ok());
  options.limits.most_pixels = 160 * 120 - 1;
  CHECK_FALSE(Recording::Open(MediaFolder() + "/files/bframes.mp4", options).ok());
  options.limits = {};
  options.limits.most_frame_bytes = 160 * 120 * 3 / 2;  // 4:2:0
  CHECK(Recording::Open(MediaFolder() + "/files/bframes.mp4", options).ok());
  options.limits.most_frame_bytes -= 1;
  CHECK_FALSE(Recording::Open(MediaFolder() + "/files/bframes.mp4", options).ok());
  options.limits = {};
  options.limits.most_streams = 1;
  CHECK_FALSE(Recording::Open(MediaFolder() + "/files/with_sound.mp4", options).ok());
}

TEST_CASE("A recording that takes longer to open than it may is refused, and one sentence says so") {
  Recording::Options options;
  options.build_table = false;
  options.limits.open_seconds = 0;
  const auto opened = Recording::Open(MediaFolder() + "/files/bframes.mp4", options);
  REQUIRE_FALSE(opened.ok());
  CHECK(opened.error().code == ErrorCode::kUnreadable);
  CHECK(opened.error().message.find("it took too long") != std::string::npos);
}

TEST_CASE("Pictures that become too large on the way are not decoded, and the rest is") {
  Recording::Options options;
  options.build_table = false;
  options.limits.most_frame_bytes = 160 * 120 * 3 / 2;  // 192x144 follows
  const auto recording = Recording::Open(MediaFolder() + "/files/changes_size.ts", options);
  REQUIRE(recording.ok());
  int small = 0;
  int large = 0;
  const Status swept = (*recording)
                           ->Sweep({INT64_MIN / 4},
                                   [&](const Picture& picture) {
                                     ++(picture.width == 160 ? small : large);
                                     return true;
                                   },
                                   {});
  CHECK(swept.ok());
  CHECK(small > 80);  // of 96
  CHECK(large == 0);
}

// Largest packet of the picture stream, by ffprobe.
static std::int64_t LargestPacket(const std::string& file) {
  return std::stoll(OutputOf("ffprobe -v error -select_streams v:0 -show_entries packet=size -of csv=p=0 " +
                             Quoted(file) + " | tr -d , | sort -n | tail -1"));
}

TEST_CASE("A packet that is too large is passed over and told, and the rest is decoded") {
  const std::string folder = MediaFolder() + "/files/";
  for (const char* name : {"every_frame_key.avi", "bframes.mkv", "bframes.ts", "bframes.mp4"}) {
    INFO(name);
    Recording::Options options;
    const auto cautions = [&](std::int64_t most) {
      const TemporaryFolder cache;
      options.cache_folder = cache.path();
      options.limits.most_packet_bytes = most;
      const auto recording = Recording::Open(folder + name, options);
      REQUIRE(recording.ok());
      std::shared_ptr<const FrameTable> table;
      for (int time = 0; time < 2; ++time) {  // built, and as it was kept
        const auto again = Recording::Open(folder + name, options);
        REQUIRE(again.ok());
        const auto made = (*again)->WaitForTable(TableState::kVerified, {}, {});
        REQUIRE(made.ok());
        if (table) CHECK((*made)->cautions() == table->cautions());
        table = *made;
      }
      CHECK(table->size() > 60);  // of 96
      return Says(*table, "larger than this program takes");
    };
    const std::int64_t largest = LargestPacket(folder + name);
    CHECK_FALSE(cautions(largest));
    CHECK(cautions(largest - 1));
  }
}

TEST_CASE("A recording of nothing but packets that are too large says so, and harms nobody") {
  const TemporaryFolder cache;
  Recording::Options options;
  options.cache_folder = cache.path();
  options.limits.most_packet_bytes = 8;
  const auto recording = Recording::Open(MediaFolder() + "/files/every_frame_key.avi", options);
  REQUIRE(recording.ok());
  CHECK_FALSE((*recording)->Frame(Pts{0}, {}).ok());
  const auto table = (*recording)->WaitForTable(TableState::kVerified, {}, {});
  REQUIRE(table.ok());
  CHECK((*table)->empty());
  CHECK(Says(**table, "96 packets of the file's pictures are larger than this program takes"));
}

TEST_CASE("A helper killed again and again costs no frame") {
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(MediaFolder() + "/files/long_gop.mp4", cache.path());
  const auto expected = ReferenceHashes(MediaFolder() + "/files/long_gop.mp4");
  std::vector<std::uint64_t> played;
  REQUIRE(opened.recording
              ->Sweep(opened.table->begin(),
                      [&](const Picture& picture) {
                        played.push_back(PictureCheck(picture));
                        return true;
                      },
                      {})
              .ok());
  REQUIRE(static_cast<std::int64_t>(played.size()) == opened.table->size());
  Recording::Options small;
  small.cache_folder = cache.path();
  small.cache_bytes = 1;  // every frame has to be decoded
  const auto recording = Recording::Open(MediaFolder() + "/files/long_gop.mp4", small);
  REQUIRE(recording.ok());
  REQUIRE((*recording)->WaitForTable(TableState::kVerified, {}, {}).ok());
  int kills = 0;
  for (std::int64_t i = opened.table->size() - 1; i >= 0; --i) {
    if (const int pid = (*recording)->HelperPids()[0]; i % 5 == 0 && pid > 0) {
      kill(pid, SIGKILL);
      ++kills;
    }
    const auto picture = (*recording)->Frame(FrameIndex{i}, {});
    INFO("frame " << i << (picture.ok() ? "" : picture.error().message));
    REQUIRE(picture.ok());
    CHECK(PictureCheck(*picture) == played[static_cast<std::size_t>(i)]);
  }
  CHECK(kills >= 15);
}

TEST_CASE("A helper killed during a sweep costs no frame, by any kind of table") {
  const std::string file = MediaFolder() + "/files/bframes.mp4";
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(file, cache.path());
  Recording::Options options;
  options.build_table = false;
  const auto provisional = Recording::Open(file, options);
  REQUIRE(provisional.ok());
  for (Recording* recording : {opened.recording.get(), provisional->get()}) {
    const std::set<int> others = ChildProcesses();
    std::vector<Pts> seen;
    int kills = 0;
    const Status swept = recording->Sweep(opened.table->begin(),
                                          [&](const Picture& picture) {
                                            seen.push_back(picture.frame.pts);
                                            if (seen.size() % 20 != 0) return true;
                                            for (const int pid : ChildProcesses())
                                              if (!others.contains(pid)) kills += kill(pid, SIGKILL) == 0;
                                            return true;
                                          },
                                          {});
    INFO((swept.ok() ? "" : swept.error().message));
    CHECK(swept.ok());
    CHECK(kills >= 4);
    REQUIRE(static_cast<std::int64_t>(seen.size()) == opened.table->size());
    for (FrameIndex i; i.value < opened.table->size(); ++i.value)
      CHECK(seen[static_cast<std::size_t>(i.value)] == (*opened.table)[i].pts);
  }
}

TEST_CASE("A place at which the decoder fails every time is named, and others can still be reached") {
  HelperTask task;
  task.path = MediaFolder() + "/files/long_gop.mp4";
  task.limits.call_seconds = 2;
  ExactReader reader(task, 0);
  std::vector<ReadFrame> kept;  // never given back: the helper can't go on
  const auto reached =
      reader.Reach({INT64_MAX / 4}, [&](const ReadFrame& passing) { kept.push_back(passing); }, {});
  REQUIRE_FALSE(reached.ok());
  INFO(reached.error().message);
  CHECK(reached.error().code == ErrorCode::kUnreadable);
  CHECK(reached.error().message.find("made the decoder fail at") != std::string::npos);
  CHECK(reached.error().message.find("long_gop.mp4") != std::string::npos);
  CHECK(reader.Reach({0}, {}, {}).ok());
}

TEST_CASE("The second opening has the verified table at once, and no recording is named in the cache") {
  const TemporaryFolder cache;
  const std::string file = MediaFolder() + "/files/vfr.mp4";
  const Opened first = OpenVerified(file, cache.path());
  Recording::Options options;
  options.cache_folder = cache.path();
  const auto again = Recording::Open(file, options);
  REQUIRE(again.ok());
  const auto table = (*again)->WaitForTable(TableState::kVerified, {}, {});
  REQUIRE(table.ok());
  REQUIRE((*table)->size() == first.table->size());
  for (FrameIndex i; i.value < first.table->size(); ++i.value) {
    CHECK((**table)[i].pts == (*first.table)[i].pts);
    CHECK((**table)[i].key == (*first.table)[i].key);
    CHECK((**table)[i].duration == (*first.table)[i].duration);
  }
  for (const auto& kept : std::filesystem::directory_iterator(cache.path())) {
    std::ifstream stream(kept.path(), std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(stream)), {});
    CHECK(bytes.find("vfr") == std::string::npos);
    CHECK(kept.path().string().find("vfr") == std::string::npos);
    // A kept table that was changed is not believed.
    std::fstream change(kept.path(), std::ios::binary | std::ios::in | std::ios::out);
    change.seekp(200);
    change.put('x');
  }
  const Opened third = OpenVerified(file, cache.path());
  CHECK(third.table->size() == first.table->size());
}

TEST_CASE("Pictures are exact before the table is verified") {
  const std::string file = MediaFolder() + "/files/vfr.mp4";
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(file, cache.path());
  Recording::Options options;
  options.build_table = false;
  const auto recording = Recording::Open(file, options);
  REQUIRE(recording.ok());
  for (const std::int64_t index : {40, 3, 70, 0, 12, 11, 10, 69}) {
    const FrameEntry& entry = (*opened.table)[{index}];
    const auto expected = opened.recording->Frame(FrameIndex{index}, {});
    const auto exactly = (*recording)->Frame(entry.pts, {});
    const auto within = (*recording)->Frame(Pts{entry.pts.ticks + entry.duration.ticks - 1}, {});
    REQUIRE(expected.ok());
    REQUIRE(exactly.ok());
    REQUIRE(within.ok());
    CHECK(exactly->frame.pts == entry.pts);
    CHECK(PictureCheck(*exactly) == PictureCheck(*expected));
    CHECK(within->frame.pts == entry.pts);
  }
}

TEST_CASE("Before the table is verified too, a time within a frame that is there costs no decoding") {
  Recording::Options options;
  options.build_table = false;
  const auto recording =
      Recording::Open(MediaFolder() + "/files/bframes.mkv", options);  // no index at opening
  REQUIRE(recording.ok());
  REQUIRE((*recording)->table()->empty());
  const auto first = (*recording)->Frame(Pts{1000}, {});
  REQUIRE(first.ok());
  REQUIRE((*recording)->Frame(Pts{1500}, {}).ok());
  const auto within = (*recording)->Cached(Pts{1010});  // a frame lasts 41 or 42 ticks
  REQUIRE(within);
  CHECK(within->frame == first->frame);
  CHECK_FALSE((*recording)->Cached(Pts{2000}));
}

// The playhead in the middle: soon everything before or after it is there.
TEST_CASE("Pictures are read ahead in the direction of the playhead, without being asked for") {
  const TemporaryFolder cache;
  const std::string file = MediaFolder() + "/files/long_gop.mp4";
  const Opened verified = OpenVerified(file, cache.path());
  Recording::Options options;
  options.build_table = false;
  const auto provisional = Recording::Open(file, options);
  REQUIRE(provisional.ok());
  for (Recording* recording : {verified.recording.get(), provisional->get()})
    for (const int direction : {1, -1}) {
      const std::int64_t middle = verified.table->size() / 2;
      recording->SetPlayhead((*verified.table)[{middle}].pts, direction);
      const auto there = [&] {
        for (std::int64_t i = middle; i >= 0 && i < verified.table->size(); i += direction)
          if (!recording->Cached((*verified.table)[{i}].pts)) return false;
        return true;
      };
      for (int waited = 0; !there() && waited < 2000; ++waited)
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
      INFO("direction " << direction);
      CHECK(there());
    }
}

TEST_CASE("A request is overtaken by the next of its priority, and each is answered once") {
  const TemporaryFolder cache;
  const Opened opened = OpenVerified(MediaFolder() + "/files/long_gop.mp4", cache.path());
  std::atomic<int> answers{0};
  std::atomic<int> pictures{0};
  std::atomic<bool> last_came{false};
  constexpr int kRequests = 50;
  const std::int64_t end = opened.table->size() - 1;
  for (int i = 0; i < kRequests; ++i) {
    const Pts pts = (*opened.table)[{i + 1 == kRequests ? end : i}].pts;
    opened.recording->Request(pts, Priority::kShow, [&, i, pts](Result<Picture> result) {
      if (result.ok() && result->frame.pts == pts) ++pictures;
      if (i + 1 == kRequests) last_came = result.ok();
      ++answers;
    });
  }
  for (int waited = 0; answers < kRequests && waited < 1000; ++waited)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  CHECK(answers == kRequests);
  CHECK(pictures >= 1);
  CHECK(last_came);
}

TEST_CASE("A recording that is read stays as it was") {
  const TemporaryFolder cache;
  const std::string file = MediaFolder() + "/files/bframes.ts";
  const std::string before = State(file);
  const Opened opened = OpenVerified(file, cache.path());
  CHECK(opened.recording->Frame(FrameIndex{50}, {}).ok());
  CHECK(opened.recording->FrameHash(FrameIndex{20}, {}).ok());
  CHECK(State(file) == before);
}

TEST_CASE("The shape tells rotation, pixel aspect and where it starts and ends") {
  const TemporaryFolder cache;
  const auto shape = [&](const std::string& name) {
    return OpenVerified(MediaFolder() + "/files/" + name, cache.path()).recording->Shape();
  };
  // ffprobe's "rotation" is anticlockwise.
  const int anticlockwise =
      std::stoi(OutputOf("ffprobe -v quiet -show_entries stream_side_data=rotation -of default=nw=1:nk=1 " +
                         Quoted(MediaFolder() + "/files/rotated.mp4")));
  CHECK(anticlockwise != 0);
  CHECK(shape("rotated.mp4").rotation_deg == (360 - anticlockwise) % 360);
  const std::string aspect =
      OutputOf("ffprobe -v quiet -show_entries stream=sample_aspect_ratio -of default=nw=1:nk=1 " +
               Quoted(MediaFolder() + "/files/wide_pixels.mpg") + " | head -1");
  const Rational wide = shape("wide_pixels.mpg").pixel_aspect;
  CHECK(std::to_string(wide.num) + ":" + std::to_string(wide.den) + "\n" == aspect);
  const RecordingShape late = shape("starts_late.mp4");
  CHECK(late.first.ticks * late.time_base.value() == Approx(5));
  CHECK((late.end - late.first).Seconds(late.time_base) == Approx(4));  // 96 frames at 24 a second
  CHECK(late.verified);
}
