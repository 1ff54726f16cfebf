// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/helper_client.hpp"

#include "annotate/media/helper_word.hpp"
#include "annotate/media/shared_picture.hpp"

#include <fmt/format.h>

#include <chrono>
#include <vector>

namespace afterscope {
namespace {

constexpr std::size_t kSharedBytes = std::size_t{1}
                                     << 30;  // address space; only what is written to takes memory
constexpr int kPollMs = 20;
constexpr std::size_t kReleaseBatch =
    3;  // fewer than the helper lends at least, so that it never waits for one held back

using Clock = std::chrono::steady_clock;

}  // namespace

struct HelperClient::Process {
  std::unique_ptr<HelperProcess> helper;
  std::mutex sending;
  std::vector<std::int64_t> given_back;  // pictures that the helper does not know of yet

  bool Send(std::string_view message) {
    const std::lock_guard lock(sending);
    return helper->Send(message);
  }
  void GiveBack(std::int64_t id) {
    const std::lock_guard lock(sending);
    given_back.push_back(id);
    if (given_back.size() >= kReleaseBatch) SendGivenBackLocked();
  }
  void SendGivenBack() {
    const std::lock_guard lock(sending);
    if (!given_back.empty()) SendGivenBackLocked();
  }

 private:
  void SendGivenBackLocked() {
    WireWriter message = Message(HelperMessage::kRelease);
    for (const std::int64_t id : given_back) message.Int(id);
    given_back.clear();
    helper->Send(message.bytes());
  }
};

Result<std::unique_ptr<HelperClient>> HelperClient::Open(const HelperTask& task, const StopQuery& stop) {
  std::unique_ptr<HelperClient> client(new HelperClient(task));
  client->process_ = std::make_shared<Process>();
  AFTERSCOPE_ASSIGN(client->process_->helper, HelperProcess::Start(kHelperWord, kSharedBytes));
  WireWriter message = Message(HelperMessage::kOpen);
  message.Text(task.path);
  Write(message, task.limits);
  message.Int(task.threads).Int(task.background ? 1 : 0).Int(task.sound ? 1 : 0);
  Write(message, task.turns);
  client->Send(message.bytes());
  const auto answer = client->Receive(stop);
  if (!answer.ok()) return answer.error();
  WireReader reader(*answer);
  const auto kind = static_cast<HelperMessage>(reader.Int());
  if (kind == HelperMessage::kOpened) Read(reader, client->file_);
  if (kind != HelperMessage::kOpened || !reader.good())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("'{}' can't be opened as a recording: {}.", task.path, reader.Text())};
  client->file_.info.path = task.path;
  return client;
}

HelperClient::~HelperClient() {
  if (process_->helper) process_->helper->End();
}

bool HelperClient::Send(std::string_view message) { return process_->Send(message); }

Result<std::string> HelperClient::Receive(const StopQuery& stop) {
  if (!aside_.empty()) {
    std::string message = std::move(aside_.front());
    aside_.pop_front();
    return message;
  }
  return ReceiveNew(stop);
}

Result<std::string> HelperClient::ReceiveNew(const StopQuery& stop) {
  HelperProcess& helper = *process_->helper;
  const auto last = Clock::now() + std::chrono::duration<double>(task_.limits.call_seconds);
  for (;;) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped."};
    if (auto message = helper.Receive(0)) return std::move(*message);
    process_->SendGivenBack();  // the helper may be waiting for it
    if (auto message = helper.Receive(kPollMs)) return std::move(*message);
    if (helper.ended())
      return Error{ErrorCode::kUnreadable, fmt::format("The decoder failed while reading '{}'.", task_.path)};
    if (Clock::now() > last)
      return Error{ErrorCode::kUnreadable,
                   fmt::format("The decoder got stuck while reading '{}'.", task_.path)};
  }
}

Picture HelperClient::Borrow(const PictureLayout& layout) const {
  const HelperProcess& helper = *process_->helper;
  Picture picture = ViewShared(layout, helper.shared(), helper.shared_bytes());
  if (layout.id == 0) return picture;
  picture.owner = std::shared_ptr<const void>(
      helper.shared(), [process = process_, id = layout.id](const void*) { process->GiveBack(id); });
  return picture;
}

Result<std::string> HelperClient::Md5(std::int64_t id, const StopQuery& stop) {
  Send(Message(HelperMessage::kHash).Int(id).bytes());
  for (;;) {
    auto answer = ReceiveNew(stop);
    if (!answer.ok()) return answer.error();
    WireReader reader(*answer);
    const auto kind = static_cast<HelperMessage>(reader.Int());
    if (kind == HelperMessage::kHashed && reader.Int() == id) return reader.Text();
    aside_.push_back(std::move(*answer));
  }
}

int HelperClient::pid() const { return process_->helper->pid(); }

}  // namespace afterscope
