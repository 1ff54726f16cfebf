// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper/picture_server.hpp"

#include "annotate/media/picture_check.hpp"
#include "annotate/media/shared_picture.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::size_t kBatch = 1024;             // records in a message
constexpr std::int64_t kLentBytes = 96LL << 20;  // of decoded pictures on their way
constexpr auto kSignOfLife = std::chrono::milliseconds(200);

std::size_t MostLent(const AVFrame& frame) {
  const std::int64_t bytes = std::max<std::int64_t>(1, std::int64_t{frame.width} * frame.height * 3 / 2);
  return static_cast<std::size_t>(std::clamp<std::int64_t>(kLentBytes / bytes, 4, 12));
}

// Collects records and sends them in batches; lets the parent know that work goes on.
template <class Record>
class Batches {
 public:
  Batches(HelperChannel& channel, HelperMessage kind) : channel_(channel), kind_(kind) {}
  void Add(const Record& record) {
    batch_.push_back(record);
    if (batch_.size() >= kBatch || std::chrono::steady_clock::now() - sent_ > kSignOfLife) Flush();
  }
  void Flush() {
    WireWriter message = Message(kind_);
    message.Int(static_cast<std::int64_t>(batch_.size()));
    for (const Record& record : batch_) Write(message, record);
    channel_.Send(message.bytes());
    batch_.clear();
    sent_ = std::chrono::steady_clock::now();
  }

 private:
  HelperChannel& channel_;
  HelperMessage kind_;
  std::vector<Record> batch_;
  std::chrono::steady_clock::time_point sent_ = std::chrono::steady_clock::now();
};

}  // namespace

bool LentPictures::WaitForRoom(std::size_t most, const std::function<bool()>& interrupted) {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [&] { return lent_.size() < most || interrupted(); });
  return lent_.size() < most;
}

std::int64_t LentPictures::Lend(AvPtr<AVFrame> shared, AvPtr<AVFrame> decoded) {
  const std::lock_guard lock(mutex_);
  lent_[next_id_] = {std::move(shared), std::move(decoded)};
  return next_id_++;
}

void LentPictures::GiveBack(std::int64_t id) {
  decltype(lent_)::node_type gone;
  {
    const std::lock_guard lock(mutex_);
    gone = lent_.extract(id);
  }
  changed_.notify_all();
}

std::string LentPictures::Md5(std::int64_t id) {
  AvPtr<AVFrame> decoded;
  {
    const std::lock_guard lock(mutex_);
    const auto found = lent_.find(id);
    if (found == lent_.end()) return {};
    decoded.reset(av_frame_clone(found->second.decoded.get()));
  }
  return decoded ? PlanesMd5(*decoded) : std::string();
}

void LentPictures::Wake() {
  const std::lock_guard lock(mutex_);
  changed_.notify_all();
}

void Hold::Set(bool held) {
  {
    const std::lock_guard lock(mutex_);
    held_ = held;
  }
  changed_.notify_all();
}

void Hold::Wait(const std::function<bool()>& interrupted, const std::function<void()>& alive) {
  std::unique_lock lock(mutex_);
  while (!changed_.wait_for(lock, kSignOfLife, [this] { return !held_; })) {
    if (interrupted()) return;
    lock.unlock();
    alive();
    lock.lock();
  }
}

void PictureServer::Serve(std::int64_t run, const StartPoint& start) {
  const auto started = decoder->Start(start);
  if (!started.ok() || !started.value()) {
    channel.Send(Message(HelperMessage::kNotFound).Int(run).bytes());
    return;
  }
  FramePictures pictures(arena);
  AvPtr<AVFrame> frame(av_frame_alloc());
  DecodedFrame about;
  while (!interrupted() && decoder->Next(*frame, about))
    if (!Send(run, pictures, *frame, about)) return;
  if (!interrupted()) channel.Send(Message(HelperMessage::kEnd).Int(run).bytes());
}

// Lends a frame to the parent; false if something more urgent came before there was room for it.
bool PictureServer::Send(std::int64_t run, FramePictures& pictures, AVFrame& frame,
                         const DecodedFrame& about) {
  if (!lent.WaitForRoom(MostLent(frame), interrupted)) return false;
  AvPtr<AVFrame> shared = pictures.Share(frame);
  PictureLayout layout;
  if (shared) {
    layout = pictures.Layout(*shared, frame, info);
    AvPtr<AVFrame> decoded(av_frame_alloc());
    av_frame_move_ref(decoded.get(), &frame);
    layout.id = lent.Lend(std::move(shared), std::move(decoded));
  }
  WireWriter message = Message(HelperMessage::kPicture);
  message.Int(run);
  Write(message, about);
  Write(message, layout);
  channel.Send(message.bytes());
  av_frame_unref(&frame);
  return true;
}

void PictureServer::ServeKeys(const std::vector<std::int64_t>& times) {
  FramePictures pictures(arena);
  AvPtr<AVFrame> frame(av_frame_alloc());
  DecodedFrame about;
  std::set<std::int64_t> sent;
  for (const std::int64_t pts : times) {
    if (interrupted()) return;
    if (decoder->KeyFrame(pts, sent, *frame, about)) {
      sent.insert(about.pts);
      if (!Send(0, pictures, *frame, about)) return;
    }
    av_frame_unref(frame.get());
    channel.Send(Message(HelperMessage::kAlive).bytes());
  }
  channel.Send(Message(HelperMessage::kEnd).Int(0).bytes());
}

void PictureServer::Scan() {
  Batches<PacketRecord> batches(channel, HelperMessage::kPackets);
  AvPtr<AVPacket> packet(av_packet_alloc());
  while (!interrupted() && decoder->NextPacket(*packet)) {
    batches.Add(Describe(*packet));
    av_packet_unref(packet.get());
  }
  batches.Flush();
  SendDone(-1);
}

void PictureServer::Verify() {
  Batches<DecodedFrame> batches(channel, HelperMessage::kFrames);
  if (!decoder->Start({}).ok())
    return channel.Send(Message(HelperMessage::kDone).Int(1).Int(-1).Int(0).bytes());
  FramePictures pictures(arena);
  AvPtr<AVFrame> frame(av_frame_alloc());
  DecodedFrame about;
  while (!interrupted() && decoder->Next(*frame, about)) {
    if (const AvPtr<AVFrame> shared = pictures.Share(*frame)) {
      const PictureLayout layout = pictures.Layout(*shared, *frame, info);
      about.check = PictureCheck(ViewShared(layout, channel.shared(), channel.shared_bytes()));
    }
    batches.Add(about);
    av_frame_unref(frame.get());
    hold.Wait(interrupted, [this] { channel.Send(Message(HelperMessage::kAlive).bytes()); });
  }
  batches.Flush();
  SendDone(decoder->bad_ordinal());
}

void PictureServer::SendDone(std::int64_t bad_ordinal) {
  WireWriter message = Message(HelperMessage::kDone);
  message.Int(decoder->file().read_errors()).Int(bad_ordinal).Int(decoder->file().too_large());
  channel.Send(message.bytes());
}

}  // namespace afterscope
