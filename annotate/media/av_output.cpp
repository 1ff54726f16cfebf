// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/av_output.hpp"

#include <algorithm>
#include <new>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

constexpr int kBufferBytes = 1 << 16;

}  // namespace

AvOutput::AvOutput(std::unique_ptr<PendingFile> file) : file_(std::move(file)) {
  auto* buffer = static_cast<unsigned char*>(av_malloc(kBufferBytes));
  if (buffer)
    io_ = avio_alloc_context(buffer, kBufferBytes, 1, this, nullptr, &AvOutput::Write, &AvOutput::Seek);
  if (!io_) {
    av_free(buffer);
    throw std::bad_alloc();
  }
}

Result<std::unique_ptr<AvOutput>> AvOutput::Create(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(std::unique_ptr<PendingFile> file, PendingFile::Create(files, path));
  return std::unique_ptr<AvOutput>(new AvOutput(std::move(file)));
}

AvOutput::~AvOutput() {
  av_freep(&io_->buffer);
  avio_context_free(&io_);
}

int AvOutput::Write(void* self, std::uint8_t* bytes, int count) {
  auto& out = *static_cast<AvOutput*>(self);
  if (!out.failure_.ok()) return AVERROR(EIO);
  const std::string_view view(reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(count));
  out.failure_ =
      out.position_ == out.size_ ? out.file_->Append(view) : out.file_->WriteAt(out.position_, view);
  if (!out.failure_.ok()) return AVERROR(EIO);
  if (out.copied_from_ && out.position_ >= *out.copied_from_) {
    const auto at = static_cast<std::size_t>(out.position_ - *out.copied_from_);
    out.copy_.resize(std::max(out.copy_.size(), at + view.size()));
    out.copy_.replace(at, view.size(), view);
  }
  out.position_ += count;
  out.size_ = std::max(out.size_, out.position_);
  return count;
}

std::int64_t AvOutput::Seek(void* self, std::int64_t offset, int whence) {
  auto& out = *static_cast<AvOutput*>(self);
  if (whence == AVSEEK_SIZE) return out.size_;
  const std::int64_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? out.position_ : out.size_;
  if (from + offset < 0 || from + offset > out.size_) return AVERROR(EINVAL);
  out.position_ = from + offset;
  return out.position_;
}

Status AvOutput::Keep() {
  avio_flush(io_);
  if (!failure_.ok()) return failure_.error();
  return file_->Keep();
}

Status AvOutput::KeepIfFree() {
  avio_flush(io_);
  if (!failure_.ok()) return failure_.error();
  return file_->KeepIfFree();
}

}  // namespace afterscope
