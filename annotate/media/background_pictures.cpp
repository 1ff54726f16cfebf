// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/background_pictures.hpp"

#include "annotate/media/exact_reader.hpp"
#include "annotate/media/picture_worker.hpp"

#include <chrono>
#include <thread>

namespace afterscope {
namespace {

constexpr auto kLookEvery = std::chrono::milliseconds(20);

HelperTask TaskFor(const Recording& recording, int threads) {
  HelperTask task;
  task.path = recording.info().path;
  task.threads = threads;
  task.background = true;
  return task;
}

}  // namespace

Status VisitKeyFrames(const Recording& recording, const std::vector<Pts>& times,
                      const std::function<bool(const Picture&)>& visit, const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(const auto helper, HelperClient::Open(TaskFor(recording, 1), stop));
  WireWriter command = Message(HelperMessage::kKeys);
  for (const Pts pts : times) command.Int(pts.ticks);
  helper->Send(command.bytes());
  for (;;) {
    const auto message = helper->Receive(stop);
    if (!message.ok()) return message.error();
    WireReader reader(*message);
    const auto kind = static_cast<HelperMessage>(reader.Int());
    reader.Int();  // the run
    if (kind == HelperMessage::kEnd) return {};
    if (kind != HelperMessage::kPicture) continue;
    DecodedFrame about;
    PictureLayout layout;
    Read(reader, about);
    Read(reader, layout);
    Picture picture = helper->Borrow(layout);
    picture.frame.pts = {about.pts};
    if (!picture.empty() && !visit(picture)) return {};
  }
}

Status SweepBehind(const Recording& recording, Pts from, const std::function<bool(const Picture&)>& visit,
                   const StopQuery& stop) {
  ExactReader reader(TaskFor(recording, 0), 0);
  AFTERSCOPE_ASSIGN(std::optional<ReadFrame> frame, reader.Reach(from, {}, stop));
  reader.CheckEveryFrame(false);
  while (frame) {
    while (PictureWorker::AnyHungry() && !Stopped(stop)) std::this_thread::sleep_for(kLookEvery);
    if (!visit(frame->picture)) break;
    frame.reset();
    AFTERSCOPE_ASSIGN(frame, reader.Next(stop));
  }
  return {};
}

}  // namespace afterscope
