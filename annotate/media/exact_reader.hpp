// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper_client.hpp"
#include "annotate/media/table_data.hpp"
#include "annotate/media/timestamp_repair.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <string>

namespace afterscope {

// A decoded frame at its place in the recording. The picture lies in the helper's memory: copy it or let go
// of it soon, else the helper waits.
struct ReadFrame {
  Picture picture;
  std::optional<FrameIndex> index;  // in the verified table
  std::int64_t id = 0;              // of the picture on loan
  std::uint64_t check = 0;          // PictureCheck, where it was computed
  bool duration_known = false;      // picture.duration certainly reaches to the next frame
};

// Reaches frames exactly, in a helper process of its own: starts only at a key packet, passes over what the
// decoder has not recovered, and where the result is not the frame that decoding from the beginning gives,
// starts earlier, at worst at the beginning. When the helper fails, a new one goes on where it stood; where
// that fails too, the error says at which place the recording made the decoder fail, and other places can
// still be asked for. Thread-compatible.
class ExactReader {
 public:
  // Every frame on the way to the one asked for, exact as well.
  using Passing = std::function<void(const ReadFrame&)>;

  ExactReader(HelperTask task, int recording_number)
      : task_(std::move(task)), recording_number_(recording_number) {}
  // Starts the helper, if it does not run.
  Status Prepare(const StopQuery& stop);
  const OpenedFile& file() const { return file_; }  // after Prepare succeeded

  // What is known of the frames; from now on.
  void Use(std::shared_ptr<const TableData> data);
  // The frame at that time: the last one not after it, or the first one.
  Result<ReadFrame> Reach(Pts target, const Passing& passing, const StopQuery& stop);
  // The frame after the last one reached; empty at the end of the recording, and where nothing was reached.
  Result<std::optional<ReadFrame>> Next(const StopQuery& stop);
  Result<std::string> Md5(const ReadFrame& frame, const StopQuery& stop);

  // Timestamp of the frame that Next would follow; empty where reading has not begun.
  std::optional<Pts> position() const { return position_; }
  int helper_pid() const { return client_ ? client_->pid() : -1; }
  // Whether pictures read on without a jump are compared with the table's (and their checks computed).
  void CheckEveryFrame(bool on) { check_all_ = on; }

 private:
  struct Attempt {
    StartPoint start;
    std::int64_t from_frame = 0;  // frames before it, in the verified table, are not valid after this start
    bool from_beginning() const { return start.kind == StartPoint::Kind::kBeginning; }
  };
  // Reads on to the frame asked for; empty where this run does not lead to it.
  using ReadTo = std::function<Result<std::optional<ReadFrame>>()>;
  // Where the n-th try starts, each earlier than the one before, at last the beginning.
  using StartOf = std::function<Attempt(int)>;

  Status Begin(const Attempt& attempt, const StopQuery& stop);
  Result<std::optional<ReadFrame>> Receive(const StopQuery& stop);
  bool Place(const DecodedFrame& about, const PictureLayout& layout, ReadFrame& frame);
  void PlaceByTable(FrameIndex index, ReadFrame& frame) const;
  bool Matches(ReadFrame& frame) const;
  Attempt EarlierStart(std::int64_t frame, int back) const;
  Attempt StartAtTime(Pts target, int back) const;
  bool CanGoOn(std::int64_t frame) const;
  bool CanGoOn(Pts target) const;
  Result<std::optional<ReadFrame>> ReadToVerified(std::int64_t frame, const Passing& passing,
                                                  const StopQuery& stop);
  Result<std::optional<ReadFrame>> ReadToProvisional(Pts target, const Passing& passing,
                                                     const StopQuery& stop);
  Result<ReadFrame> ReachVerified(std::int64_t frame, const Passing& passing, const StopQuery& stop);
  Result<ReadFrame> ReachProvisional(Pts target, const Passing& passing, const StopQuery& stop);
  Result<ReadFrame> ReachBy(const ReadTo& read_to, const StartOf& start_of, bool go_on, Pts target,
                            const StopQuery& stop);
  Result<std::optional<ReadFrame>> NextVerified(const StopQuery& stop);
  Result<std::optional<ReadFrame>> NextProvisional(const StopQuery& stop);
  Result<std::optional<ReadFrame>> Following(const StopQuery& stop);
  Result<std::optional<ReadFrame>> Deliver(ReadFrame frame, const StopQuery& stop);
  Error FailedAt(Pts target) const;

  HelperTask task_;
  int recording_number_;
  std::unique_ptr<HelperClient> client_;
  OpenedFile file_;
  std::shared_ptr<const TableData> data_ = std::make_shared<TableData>();
  bool check_all_ = true;

  // the present run
  std::int64_t run_ = 0;
  Attempt attempt_;
  bool key_seen_ = false;
  bool ended_ = false;      // no more frames come
  std::int64_t count_ = 0;  // frames received
  std::optional<TimestampRepair> repair_;
  std::optional<Pts> position_;
  std::optional<std::int64_t> position_index_;  // in the verified table
  // Where frames are not known yet, how long one lasts shows when the next has come:
  std::optional<ReadFrame> last_;  // the one at position_
  std::optional<ReadFrame> held_;  // received ahead of its turn
};

}  // namespace afterscope
