// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/table_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <mutex>
#include <thread>

namespace afterscope {
namespace {

constexpr double kPacketShare = 0.1;  // of the whole work

template <class Record>
struct Gathered {
  std::vector<Record> records;
  std::int64_t read_errors = 0;
  std::int64_t bad_ordinal = -1;  // after the last record
  std::int64_t too_large = 0;     // packets
};

// Takes batches of records until the helper says that it is done.
template <class Record, class Each>
Status Gather(HelperClient& helper, HelperMessage kind, Gathered<Record>& into, const Each& each,
              const StopQuery& stop) {
  for (;;) {
    const auto message = helper.Receive(stop);
    if (!message.ok()) return message.error();
    WireReader reader(*message);
    const auto got = static_cast<HelperMessage>(reader.Int());
    const std::int64_t count = reader.Int();
    if (got == HelperMessage::kDone) {
      into.read_errors = count;
      into.bad_ordinal = reader.Int();
      into.too_large = reader.Int();
      return {};
    }
    if (got != kind) continue;
    for (std::int64_t i = 0; i < count && reader.good(); ++i) Read(reader, into.records.emplace_back());
    if (!into.records.empty()) each(into.records.back());
  }
}

// Share of the recording's declared length that lies before these ticks.
double Share(const OpenedFile& file, std::int64_t ticks) {
  if (ticks == kNoTicks || !file.info.declared_seconds || *file.info.declared_seconds <= 0) return 0;
  const std::int64_t first = file.start_ticks == kNoTicks ? 0 : file.start_ticks;
  return std::clamp(
      static_cast<double>(ticks - first) * file.info.time_base.value() / *file.info.declared_seconds, 0.0,
      1.0);
}

bool Damaged(const Gathered<DecodedFrame>& frames) {
  return frames.bad_ordinal >= 0 ||
         std::any_of(frames.records.begin(), frames.records.end(),
                     [](const DecodedFrame& f) { return f.damaged || f.bad_ordinal >= 0; });
}

// Of the tables of several recordings, one is decoded at a time: together they would take all memory and be
// no quicker.
class Turn {
 public:
  explicit Turn(const StopQuery& stop) {
    while (!(mine_ = Mutex().try_lock()) && !Stopped(stop))
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  ~Turn() {
    if (mine_) Mutex().unlock();
  }
  Turn(const Turn&) = delete;
  Turn& operator=(const Turn&) = delete;

 private:
  static std::mutex& Mutex() {
    static std::mutex mutex;
    return mutex;
  }
  bool mine_ = false;
};

Status DecodeAll(HelperClient& helper, Gathered<DecodedFrame>& frames, const Progress& progress,
                 const StopQuery& hold, const StopQuery& stop) {
  frames = {};
  bool held = false;
  helper.Send(Message(HelperMessage::kVerify).bytes());
  return Gather(
      helper, HelperMessage::kFrames, frames,
      [&](const DecodedFrame& last) {
        Report(progress, kPacketShare + (1 - kPacketShare) * Share(helper.file(), last.best_effort));
      },
      [&] {
        if (const bool now = hold && hold(); now != held) {
          held = now;
          helper.Send(Message(HelperMessage::kHold).Int(held ? 1 : 0).bytes());
        }
        return Stopped(stop);
      });
}

}  // namespace

Result<std::shared_ptr<const TableData>> BuildTable(HelperTask task, const TableListener& listener,
                                                    const Progress& progress, const StopQuery& hold,
                                                    const StopQuery& stop) {
  AFTERSCOPE_ASSIGN(auto helper, HelperClient::Open(task, stop));
  const OpenedFile file = helper->file();
  Gathered<PacketRecord> packets;
  helper->Send(Message(HelperMessage::kScan).bytes());
  AFTERSCOPE_TRY(Gather(
      *helper, HelperMessage::kPackets, packets,
      [&](const PacketRecord& last) { Report(progress, kPacketShare * Share(file, last.dts)); }, stop));
  listener(TableFromPackets(file, packets.records));

  const Turn turn(stop);
  Gathered<DecodedFrame> frames;
  AFTERSCOPE_TRY(DecodeAll(*helper, frames, progress, hold, stop));
  const bool one_thread = Damaged(frames);
  if (one_thread) {  // with several threads, what a damaged picture looks like may be a matter of chance
    task.threads = 1;
    AFTERSCOPE_ASSIGN(helper, HelperClient::Open(task, stop));
    AFTERSCOPE_TRY(DecodeAll(*helper, frames, progress, hold, stop));
  }
  Report(progress, 1);
  return TableFromFrames(
      file, packets.records,
      {std::move(frames.records), one_thread, frames.read_errors, frames.bad_ordinal, frames.too_large});
}

}  // namespace afterscope
