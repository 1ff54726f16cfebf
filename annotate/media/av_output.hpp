// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

extern "C" {
#include <libavformat/avformat.h>
}

#include "annotate/store/pending_file.hpp"
#include "metrics/base/result.hpp"

namespace afterscope {

struct FreeMuxer {  // AvFree closes inputs
  void operator()(AVFormatContext* muxer) const { avformat_free_context(muxer); }
};
using AvMuxerPtr = std::unique_ptr<AVFormatContext, FreeMuxer>;

// A muxer's output through the program's own file layer, under a temporary name. Used only inside
// annotate/media.
class AvOutput {
 public:
  static Result<std::unique_ptr<AvOutput>> Create(const std::string& path, FileSystem& files);
  ~AvOutput();  // removes the temporary file unless Keep succeeded
  AvOutput(const AvOutput&) = delete;
  AvOutput& operator=(const AvOutput&) = delete;

  AVIOContext* io() { return io_; }
  // From now on, keeps what is written from there on in memory too.
  void CopyFrom(std::int64_t position) { copied_from_ = position; }
  const std::string& copy() const { return copy_; }
  // The first failure of a write, which the muxer knows only as an I/O error.
  const Status& failure() const { return failure_; }
  // Flushes, syncs, closes and gives it its name.
  Status Keep();
  Status KeepIfFree();  // fails where anything has that name by now

 private:
  explicit AvOutput(std::unique_ptr<PendingFile> file);
  static int Write(void* self, std::uint8_t* bytes, int count);
  static std::int64_t Seek(void* self, std::int64_t offset, int whence);

  std::unique_ptr<PendingFile> file_;
  AVIOContext* io_ = nullptr;
  std::int64_t position_ = 0;
  std::int64_t size_ = 0;
  Status failure_;
  std::optional<std::int64_t> copied_from_;
  std::string copy_;
};

}  // namespace afterscope
