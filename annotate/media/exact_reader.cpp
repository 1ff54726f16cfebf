// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/exact_reader.hpp"

#include "annotate/media/picture_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kGoOnFrames = 16;       // decoding so many more is as quick as a jump
constexpr double kGoOnSeconds = 1.0;  // the same where the frames are not known yet
constexpr int kMostTriesByTime = 8;
constexpr int kMostFailures = 2;  // of the helper on the way to one frame

// Tells how long a frame lasts, where the next one is later.
void SetDuration(ReadFrame& frame, const ReadFrame& next) {
  const TickSpan span = next.picture.frame.pts - frame.picture.frame.pts;
  if (span.ticks <= 0) return;
  frame.picture.duration = span;
  frame.duration_known = true;
}

Error NoFrame(const std::string& path, Pts target) {
  return {ErrorCode::kUnreadable,
          fmt::format("No frame of '{}' could be decoded at ticks {}.", path, target.ticks)};
}

}  // namespace

Status ExactReader::Prepare(const StopQuery& stop) {
  if (client_) return {};
  AFTERSCOPE_ASSIGN(client_, HelperClient::Open(task_, stop));
  file_ = client_->file();
  return {};
}

void ExactReader::Use(std::shared_ptr<const TableData> data) {
  if (data == data_) return;
  if (data->one_thread && task_.threads != 1) {
    task_.threads = 1;
    client_.reset();
  }
  data_ = std::move(data);
  if (client_ && !data_->verified()) return;  // a provisional table changes no frame's place
  position_.reset();
  position_index_.reset();
  last_.reset();
  held_.reset();
}

Status ExactReader::Begin(const Attempt& attempt, const StopQuery& stop) {
  last_.reset();
  held_.reset();
  position_.reset();
  position_index_.reset();
  AFTERSCOPE_TRY(Prepare(stop));
  attempt_ = attempt;
  ended_ = false;
  key_seen_ = attempt.from_beginning();
  count_ = 0;
  repair_.emplace(file().info.time_base, UsualStep(file().info.time_base, file().info.declared_rate));
  WireWriter message = Message(HelperMessage::kStart);
  message.Int(++run_);
  Write(message, attempt.start);
  client_->Send(message.bytes());
  return {};
}

void ExactReader::PlaceByTable(FrameIndex index, ReadFrame& frame) const {
  const FrameEntry& entry = data_->table[index];
  frame.index = index;
  frame.picture.frame.pts = entry.pts;
  frame.picture.duration = entry.duration;
  frame.picture.damaged = entry.damaged;
  frame.duration_known = true;
}

// Gives a frame of this run its place; false if it is not valid in this run.
bool ExactReader::Place(const DecodedFrame& about, const PictureLayout& layout, ReadFrame& frame) {
  frame = {};
  frame.picture = client_->Borrow(layout);
  frame.id = layout.id;
  const bool from_beginning = attempt_.from_beginning();
  const std::int64_t nth = count_++;
  key_seen_ = key_seen_ || about.key;
  frame.picture.frame.recording = recording_number_;
  frame.picture.duration = {about.duration > 0 ? about.duration : repair_->usual_step()};
  frame.picture.damaged = about.damaged;
  if (data_->verified()) {
    const auto index = from_beginning && nth < data_->table.size() ? FrameIndex{nth} : data_->Find(about);
    if (!index || index->value < attempt_.from_frame) return false;
    PlaceByTable(*index, frame);
    return true;
  }
  if (!from_beginning && (!key_seen_ || about.pts == kNoTicks)) return false;
  const bool none = about.best_effort == kNoTicks;
  const std::int64_t ticks =
      from_beginning ? repair_->Next(none ? std::nullopt : std::optional(about.best_effort), about.duration)
                     : about.pts;
  frame.picture.frame.pts = {ticks};
  return true;
}

// The next valid frame of this run; empty at its end, and where its start was not found.
Result<std::optional<ReadFrame>> ExactReader::Receive(const StopQuery& stop) {
  while (!ended_) {
    auto message = client_->Receive(stop);
    if (!message.ok()) {
      if (message.error().code != ErrorCode::kStopped) client_.reset();
      return message.error();
    }
    WireReader reader(*message);
    const auto kind = static_cast<HelperMessage>(reader.Int());
    const bool present = reader.Int() == run_;
    ended_ = present && (kind == HelperMessage::kNotFound || kind == HelperMessage::kEnd);
    if (kind != HelperMessage::kPicture) continue;
    DecodedFrame about;
    PictureLayout layout;
    Read(reader, about);
    Read(reader, layout);
    if (!present) {
      client_->Borrow(layout);  // and at once given back
      continue;
    }
    ReadFrame frame;
    if (Place(about, layout, frame)) return std::optional(std::move(frame));
  }
  return std::optional<ReadFrame>();
}

// True if the picture is the one that decoding from the beginning gives, as far as that is known.
bool ExactReader::Matches(ReadFrame& frame) const {
  if (frame.picture.empty()) return false;
  frame.check = PictureCheck(frame.picture);
  if (!frame.index || attempt_.from_beginning()) return true;
  const std::uint64_t expected = data_->sources[static_cast<std::size_t>(frame.index->value)].check;
  return expected == 0 || frame.check == expected;
}

// The start frame before `frame`, `back` starts further back; beyond the first, the beginning.
ExactReader::Attempt ExactReader::EarlierStart(std::int64_t frame, int back) const {
  const auto after =
      std::upper_bound(data_->starts.begin(), data_->starts.end(), frame,
                       [](std::int64_t value, const StartFrame& start) { return value < start.frame; });
  if (after - data_->starts.begin() <= back + 1) return {};
  const StartFrame& start = *(after - 1 - back);
  return {{StartPoint::Kind::kPacket, start.packet, start.ordinal, file().by_position}, start.frame};
}

bool ExactReader::CanGoOn(std::int64_t frame) const {
  if (!client_ || ended_ || !position_index_ || frame <= *position_index_) return false;
  if (frame - *position_index_ <= kGoOnFrames) return true;
  return EarlierStart(frame, 0).from_frame <= *position_index_ + 1;
}

bool ExactReader::CanGoOn(Pts target) const {
  if (!client_ || !position_ || target < *position_) return false;
  const auto near = static_cast<std::int64_t>(kGoOnSeconds / file().info.time_base.value());
  if (target.ticks - position_->ticks <= near) return true;
  const FrameTable& table = data_->table;
  const auto index = data_->has_timestamps ? table.At(target) : std::nullopt;
  const auto key = index ? table.KeyBefore(*index) : std::nullopt;
  return key && table[*key].pts <= *position_;
}

// Goes on where reading stands, if told so, then tries from earlier and earlier starts.
Result<ReadFrame> ExactReader::ReachBy(const ReadTo& read_to, const StartOf& start_of, bool go_on, Pts target,
                                       const StopQuery& stop) {
  int failures = 0;
  for (int tries = 0;; go_on = false) {
    if (!go_on) AFTERSCOPE_TRY(Begin(start_of(tries), stop));
    auto read = read_to();
    if (!read.ok()) {
      if (read.error().code == ErrorCode::kStopped) return read.error();
      if (++failures >= kMostFailures) return FailedAt(target);
    } else if (*read) {
      return std::move(**read);
    } else if (!go_on) {
      if (attempt_.from_beginning()) return NoFrame(task_.path, target);
      ++tries;
    }
  }
}

Result<std::optional<ReadFrame>> ExactReader::ReadToVerified(std::int64_t frame, const Passing& passing,
                                                             const StopQuery& stop) {
  for (;;) {
    AFTERSCOPE_ASSIGN(std::optional<ReadFrame> read, Receive(stop));
    if (!read || read->index->value > frame) return std::optional<ReadFrame>();
    position_ = read->picture.frame.pts;
    position_index_ = read->index->value;
    const bool matches = Matches(*read);
    if (read->index->value == frame) return matches ? std::move(read) : std::nullopt;
    if (matches && passing) passing(*read);
  }
}

Result<ReadFrame> ExactReader::ReachVerified(std::int64_t frame, const Passing& passing,
                                             const StopQuery& stop) {
  constexpr int kMostDoublings = 30;
  return ReachBy([&] { return ReadToVerified(frame, passing, stop); },
                 [&](int tries) { return EarlierStart(frame, (1 << std::min(tries, kMostDoublings)) - 1); },
                 CanGoOn(frame), data_->table[{frame}].pts, stop);
}

ExactReader::Attempt ExactReader::StartAtTime(Pts target, int back) const {
  if (!file().seekable || !data_->has_timestamps || back >= kMostTriesByTime) return {};
  const std::int64_t second =
      std::max<std::int64_t>(1, static_cast<std::int64_t>(1.0 / file().info.time_base.value()));
  const std::int64_t earlier = back == 0 ? 0 : second << (back - 1);
  Attempt attempt;
  attempt.start.packet.pts = target.ticks - earlier;
  const bool before_all = file().start_ticks != kNoTicks && attempt.start.packet.pts <= file().start_ticks;
  attempt.start.kind = before_all ? StartPoint::Kind::kBeginning : StartPoint::Kind::kTime;
  return attempt;
}

// The last frame that is not after the target: known when the one after it has come, or the end.
Result<std::optional<ReadFrame>> ExactReader::ReadToProvisional(Pts target, const Passing& passing,
                                                                const StopQuery& stop) {
  while (!last_ || last_->picture.frame.pts != target) {
    AFTERSCOPE_ASSIGN(std::optional<ReadFrame> read, Following(stop));
    if (!read) break;
    if (last_) SetDuration(*last_, *read);
    const bool beyond = read->picture.frame.pts > target;
    if (beyond && (last_ || !attempt_.from_beginning())) {
      held_ = std::move(read);
      break;
    }
    if (last_ && passing) passing(*last_);
    position_ = read->picture.frame.pts;
    last_ = std::move(read);
    if (beyond) break;
  }
  return last_;
}

Result<ReadFrame> ExactReader::ReachProvisional(Pts target, const Passing& passing, const StopQuery& stop) {
  return ReachBy([&] { return ReadToProvisional(target, passing, stop); },
                 [&](int tries) { return StartAtTime(target, tries); }, CanGoOn(target), target, stop);
}

Error ExactReader::FailedAt(Pts target) const {
  return {ErrorCode::kUnreadable,
          fmt::format("The recording '{}' made the decoder fail at {:.3f} s (ticks {}), {} times in a row; "
                      "frames elsewhere in it can still be used.",
                      task_.path, static_cast<double>(target.ticks) * file().info.time_base.value(),
                      target.ticks, kMostFailures)};
}

Result<ReadFrame> ExactReader::Reach(Pts target, const Passing& passing, const StopQuery& stop) {
  AFTERSCOPE_TRY(Prepare(stop));
  if (!data_->verified()) return ReachProvisional(target, passing, stop);
  if (data_->table.empty()) return NoFrame(task_.path, target);
  return ReachVerified(data_->table.At(target).value_or(FrameIndex{0}).value, passing, stop);
}

Result<std::optional<ReadFrame>> ExactReader::Next(const StopQuery& stop) {
  if (!position_) return std::optional<ReadFrame>();
  return position_index_ ? NextVerified(stop) : NextProvisional(stop);
}

Result<std::optional<ReadFrame>> ExactReader::NextVerified(const StopQuery& stop) {
  const std::int64_t wanted = *position_index_ + 1;
  if (client_) {
    auto read = Receive(stop);
    if (!read.ok() && read.error().code == ErrorCode::kStopped) return read.error();
    if (read.ok() && *read && (*read)->index->value == wanted && (!check_all_ || Matches(**read))) {
      position_ = (*read)->picture.frame.pts;
      position_index_ = wanted;
      return read;
    }
  }
  if (wanted >= data_->table.size()) return std::optional<ReadFrame>();
  AFTERSCOPE_ASSIGN(ReadFrame reached, ReachVerified(wanted, {}, stop));
  return std::optional(std::move(reached));
}

// The frame after the last one of a run in which frames are not known yet.
Result<std::optional<ReadFrame>> ExactReader::Following(const StopQuery& stop) {
  if (held_) return std::exchange(held_, std::nullopt);
  for (;;) {
    auto read = Receive(stop);
    if (!read.ok() || !*read) return read;
    if (check_all_ ? Matches(**read) : !(*read)->picture.empty()) return read;
  }
}

Result<std::optional<ReadFrame>> ExactReader::NextProvisional(const StopQuery& stop) {
  const Pts before = *position_;
  for (int failures = 0;;) {
    if (!client_ && !held_) {
      AFTERSCOPE_ASSIGN(const ReadFrame back, ReachProvisional(before, {}, stop));
      if (back.picture.frame.pts != before) return NoFrame(task_.path, before);
    }
    auto next = Following(stop);
    if (next.ok()) return *next ? Deliver(std::move(**next), stop) : std::move(next);
    if (next.error().code == ErrorCode::kStopped) return next;
    if (++failures >= kMostFailures) return FailedAt(before);
  }
}

// Waits for the frame after it as well, so that it is known how long it lasts.
Result<std::optional<ReadFrame>> ExactReader::Deliver(ReadFrame frame, const StopQuery& stop) {
  auto after = Following(stop);
  if (after.ok() && *after) {
    SetDuration(frame, **after);
    held_ = std::move(*after);
  } else if (!after.ok() && after.error().code == ErrorCode::kStopped) {
    held_ = std::move(frame);
    return after.error();
  }
  position_ = frame.picture.frame.pts;
  last_ = frame;
  return std::optional(std::move(frame));
}

Result<std::string> ExactReader::Md5(const ReadFrame& frame, const StopQuery& stop) {
  return client_->Md5(frame.id, stop);
}

}  // namespace afterscope
