// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/picture_server.hpp"
#include "annotate/media/helper/sound_reader.hpp"
#include "annotate/media/helper_word.hpp"
#include "annotate/media/recording.hpp"

#include <atomic>
#include <chrono>
#include <cstring>
#include <thread>

namespace afterscope {
namespace {

// Commands that wait for the working thread. Thread-safe.
class Commands {
 public:
  void Put(std::string command) {
    {
      const std::lock_guard lock(mutex_);
      waiting_.push_back(std::move(command));
      count_ = static_cast<int>(waiting_.size());
    }
    changed_.notify_all();
  }
  std::string Take() {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [this] { return !waiting_.empty(); });
    std::string command = std::move(waiting_.front());
    waiting_.pop_front();
    count_ = static_cast<int>(waiting_.size());
    return command;
  }
  bool any() const { return count_ > 0; }

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::string> waiting_;
  std::atomic<int> count_{0};
};

HelperMessage KindOf(WireReader& reader) { return static_cast<HelperMessage>(reader.Int()); }

// Takes what the parent says: answers at once what needs no decoding, puts the rest in line. Ends the process
// with the parent.
void Listen(HelperChannel& channel, LentPictures& lent, Hold& hold, Commands& commands) {
  while (auto message = channel.Receive()) {
    WireReader reader(*message);
    const HelperMessage kind = KindOf(reader);
    if (kind == HelperMessage::kRelease) {
      while (reader.left() > 0 && reader.good()) lent.GiveBack(reader.Int());
    } else if (kind == HelperMessage::kHash) {
      const std::int64_t id = reader.Int();
      channel.Send(Message(HelperMessage::kHashed).Int(id).Text(lent.Md5(id)).bytes());
    } else if (kind == HelperMessage::kHold) {
      hold.Set(reader.Flag());
    } else {
      commands.Put(std::move(*message));
      lent.Wake();
    }
  }
  EndThisProcess(0);
}

void Refuse(HelperChannel& channel, const Error& error) {
  channel.Send(Message(HelperMessage::kRefused).Text(error.message).bytes());
}

void OpenSound(HelperChannel& channel, const std::string& path, const MediaLimits& limits, WireReader& reader,
               std::unique_ptr<SoundReader>& sound) {
  std::vector<ClockTurn> turns;
  Read(reader, turns);
  auto opened = SoundReader::Open(path, limits, std::move(turns));
  if (!opened.ok()) return Refuse(channel, opened.error());
  sound = std::move(opened).value();
  WireWriter message = Message(HelperMessage::kOpened);
  Write(message, OpenedFile{});
  channel.Send(message.bytes());
}

void SendSound(HelperChannel& channel, SoundReader& sound, WireReader& reader) {
  const std::int64_t first = reader.Int();
  const std::vector<float> samples =
      sound.Read(first, reader.Int(), [&channel] { channel.Send(Message(HelperMessage::kAlive).bytes()); });
  WireWriter message = Message(HelperMessage::kSoundBlock);
  message.Text({reinterpret_cast<const char*>(samples.data()), samples.size() * sizeof(float)});
  channel.Send(message.bytes());
}

void Open(PictureServer& server, std::unique_ptr<SoundReader>& sound, WireReader& reader) {
  const std::string path = reader.Text();
  MediaLimits limits;
  Read(reader, limits);
  const int threads = static_cast<int>(reader.Int());
  LimitThisProcess({limits.helper_memory_bytes, limits.helper_cpu_seconds});
  if (reader.Flag()) YieldToOthers();
  if (reader.Flag()) return OpenSound(server.channel, path, limits, reader, sound);
  auto opened = FrameDecoder::Open(path, limits, threads, server.arena);
  if (!opened.ok()) return Refuse(server.channel, opened.error());
  server.decoder = std::move(opened).value();
  const OpenedFile file = Describe(server.decoder->file());
  server.info = file.info;
  WireWriter message = Message(HelperMessage::kOpened);
  Write(message, file);
  server.channel.Send(message.bytes());
}

void Obey(PictureServer& server, std::unique_ptr<SoundReader>& sound, const std::string& command) {
  WireReader reader(command);
  const HelperMessage kind = KindOf(reader);
  if (kind == HelperMessage::kOpen) return Open(server, sound, reader);
  if (sound && kind == HelperMessage::kSound) return SendSound(server.channel, *sound, reader);
  if (!server.decoder) return;
  if (kind == HelperMessage::kStart) {
    const std::int64_t run = reader.Int();
    StartPoint start;
    Read(reader, start);
    return server.Serve(run, start);
  }
  if (kind == HelperMessage::kKeys) {
    std::vector<std::int64_t> times;
    while (reader.left() > 0 && reader.good()) times.push_back(reader.Int());
    return server.ServeKeys(times);
  }
  if (kind == HelperMessage::kScan) return server.Scan();
  if (kind == HelperMessage::kVerify) return server.Verify();
}

int ServeParent() {
  auto adopted = HelperChannel::Adopt();
  if (!adopted.ok()) return static_cast<int>(adopted.error().code);
  HelperChannel& channel = **adopted;
  CountDecoderErrors();
  SharedArena arena(channel.shared(), channel.shared_bytes());
  LentPictures lent;
  Hold hold;
  Commands commands;
  std::thread listener([&] { Listen(channel, lent, hold, commands); });
  PictureServer server{channel, arena, lent, hold, [&commands] { return commands.any(); }, nullptr, {}};
  std::unique_ptr<SoundReader> sound;
  for (;;) Obey(server, sound, commands.Take());
}

}  // namespace

std::optional<int> RunMediaHelperIfAsked(int argc, char** argv) {
  if (argc != 2 || std::strcmp(argv[1], kHelperWord) != 0) return std::nullopt;
  return ServeParent();
}

}  // namespace afterscope
