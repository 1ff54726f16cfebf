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

Error NoFrame(const std::string& path) {
  return {ErrorCode::kUnreadable, fmt::format("No frame of '{}' could be decoded.", path)};
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
    held_.reset();
    client_.reset();
  }
  data_ = std::move(data);
  position_.reset();  // its place may have changed
  position_index_.reset();
  held_.reset();
}

Status ExactReader::Begin(const Attempt& attempt, const StopQuery& stop) {
  held_.reset();
  position_.reset();
  position_index_.reset();
  AFTERSCOPE_TRY(Prepare(stop));
  attempt_ = attempt;
  key_seen_ = attempt.start.kind == StartPoint::Kind::kBeginning;
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
}

// Gives a frame of this run its place; false if it is not valid in this run.
bool ExactReader::Place(const DecodedFrame& about, const PictureLayout& layout, ReadFrame& frame) {
  frame = {};
  frame.picture = client_->Borrow(layout);
  frame.id = layout.id;
  const bool from_beginning = attempt_.start.kind == StartPoint::Kind::kBeginning;
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

Result<ExactReader::Arrival> ExactReader::Receive(ReadFrame& frame, const StopQuery& stop) {
  for (;;) {
    auto message = client_->Receive(stop);
    if (!message.ok()) {
      if (message.error().code == ErrorCode::kStopped) return message.error();
      client_.reset();
      position_.reset();
      position_index_.reset();
      return message.error();
    }
    WireReader reader(*message);
    const auto kind = static_cast<HelperMessage>(reader.Int());
    const bool present = reader.Int() == run_;
    if (present && (kind == HelperMessage::kNotFound || kind == HelperMessage::kEnd)) {
      position_.reset();
      position_index_.reset();
      return kind == HelperMessage::kEnd ? Arrival::kEnd : Arrival::kNotFound;
    }
    if (kind != HelperMessage::kPicture) continue;
    DecodedFrame about;
    PictureLayout layout;
    Read(reader, about);
    Read(reader, layout);
    if (!present) {
      client_->Borrow(layout);  // and at once given back
      continue;
    }
    if (!Place(about, layout, frame)) continue;
    position_ = frame.picture.frame.pts;
    position_index_ = frame.index ? std::optional(frame.index->value) : std::nullopt;
    return Arrival::kFrame;
  }
}

// True if the picture is the one that decoding from the beginning gives, as far as that is known.
bool ExactReader::Matches(ReadFrame& frame) const {
  if (frame.picture.empty()) return false;
  frame.check = PictureCheck(frame.picture);
  if (!frame.index || attempt_.start.kind == StartPoint::Kind::kBeginning) return true;
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
  if (!client_ || !position_index_ || frame <= *position_index_) return false;
  if (frame - *position_index_ <= kGoOnFrames) return true;
  const Attempt jump = EarlierStart(frame, 0);
  return jump.from_frame <= *position_index_ + 1;
}

Result<std::optional<ReadFrame>> ExactReader::TryVerified(std::int64_t frame, const Passing& passing,
                                                          const StopQuery& stop) {
  for (;;) {
    ReadFrame read;
    AFTERSCOPE_ASSIGN(const Arrival arrival, Receive(read, stop));
    if (arrival != Arrival::kFrame || read.index->value > frame) return std::optional<ReadFrame>();
    const bool matches = Matches(read);
    if (read.index->value == frame) return matches ? std::optional(std::move(read)) : std::nullopt;
    if (matches && passing) passing(read);
  }
}

Result<ReadFrame> ExactReader::ReachVerified(std::int64_t frame, const Passing& passing,
                                             const StopQuery& stop) {
  const Pts target = data_->table[{frame}].pts;
  int failures = 0;
  bool go_on = CanGoOn(frame);
  for (int back = 0;;) {
    if (!go_on) {
      const Attempt attempt = EarlierStart(frame, back);
      AFTERSCOPE_TRY(Begin(attempt, stop));
    }
    auto tried = TryVerified(frame, passing, stop);
    if (!tried.ok()) {
      if (tried.error().code == ErrorCode::kStopped || ++failures > 1) return AtFrame(tried.error(), target);
      AFTERSCOPE_TRY(Prepare(stop));
    } else if (*tried) {
      return std::move(**tried);
    } else if (!go_on && attempt_.start.kind == StartPoint::Kind::kBeginning) {
      return AtFrame(NoFrame(task_.path), target);
    } else if (!go_on) {
      back = 2 * back + 1;
    }
    go_on = false;
  }
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
Result<std::optional<ReadFrame>> ExactReader::TryProvisional(Pts target, const Passing& passing,
                                                             const StopQuery& stop) {
  const bool from_beginning = attempt_.start.kind == StartPoint::Kind::kBeginning;
  std::optional<ReadFrame> best;
  if (held_ && held_->picture.frame.pts <= target) best = std::exchange(held_, std::nullopt);
  while (!best || best->picture.frame.pts != target) {
    ReadFrame read;
    AFTERSCOPE_ASSIGN(const Arrival arrival, Receive(read, stop));
    if (arrival != Arrival::kFrame) break;
    if (!Matches(read)) continue;
    if (read.picture.frame.pts > target) {
      if (!best && from_beginning) return std::optional(std::move(read));
      held_ = std::move(read);
      if (best) position_ = best->picture.frame.pts;
      break;
    }
    if (best && passing) passing(*best);
    best = std::move(read);
  }
  return best;
}

Result<ReadFrame> ExactReader::ReachProvisional(Pts target, const Passing& passing, const StopQuery& stop) {
  int failures = 0;
  const auto near = static_cast<std::int64_t>(kGoOnSeconds / file().info.time_base.value());
  bool go_on = position_ && target > *position_ && target.ticks - position_->ticks <= near;
  for (int back = 0;;) {
    if (!go_on) AFTERSCOPE_TRY(Begin(StartAtTime(target, back), stop));
    auto tried = TryProvisional(target, passing, stop);
    if (!tried.ok()) {
      if (tried.error().code == ErrorCode::kStopped || ++failures > 1) return AtFrame(tried.error(), target);
      AFTERSCOPE_TRY(Prepare(stop));
    } else if (*tried) {
      return std::move(**tried);
    } else if (!go_on && attempt_.start.kind == StartPoint::Kind::kBeginning) {
      return AtFrame(NoFrame(task_.path), target);
    } else if (!go_on) {
      ++back;
    }
    go_on = false;
  }
}

Error ExactReader::AtFrame(Error error, Pts target) const {
  if (error.code != ErrorCode::kStopped)
    error.message += fmt::format(" The frame asked for was at ticks {}.", target.ticks);
  return error;
}

Result<ReadFrame> ExactReader::Reach(Pts target, const Passing& passing, const StopQuery& stop) {
  AFTERSCOPE_TRY(Prepare(stop));
  if (!data_->verified()) return ReachProvisional(target, passing, stop);
  if (data_->table.empty()) return NoFrame(task_.path);
  return ReachVerified(data_->table.At(target).value_or(FrameIndex{0}).value, passing, stop);
}

Result<std::optional<ReadFrame>> ExactReader::Next(const StopQuery& stop) {
  if (held_) {
    position_ = held_->picture.frame.pts;
    return std::exchange(held_, std::nullopt);
  }
  if (!client_ || !position_) return std::optional<ReadFrame>();
  const std::optional<std::int64_t> before = position_index_;
  ReadFrame read;
  AFTERSCOPE_ASSIGN(const Arrival arrival, Receive(read, stop));
  const bool came = arrival == Arrival::kFrame;
  const bool in_turn = came && (!before || !read.index || read.index->value == *before + 1);
  if (in_turn && (!check_all_ || Matches(read))) return std::optional(std::move(read));
  if (!before || *before + 1 >= data_->table.size()) return std::optional<ReadFrame>();
  read = {};
  AFTERSCOPE_ASSIGN(read, ReachVerified(*before + 1, {}, stop));
  return std::optional(std::move(read));
}

Result<std::string> ExactReader::Md5(const ReadFrame& frame, const StopQuery& stop) {
  return client_->Md5(frame.id, stop);
}

}  // namespace afterscope
