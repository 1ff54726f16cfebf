// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/av_output.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <new>
#include <random>
#include <string_view>
#include <utility>

namespace afterscope {
namespace {

constexpr int kBufferBytes = 1 << 16;

std::string TemporaryNameFor(const std::string& path) {
  std::random_device random;
  return fmt::format("{}.{:08x}{:08x}.tmp", path, random(), random());
}

std::string FolderOf(const std::string& path) {
  const std::string folder = std::filesystem::path(path).parent_path().string();
  return folder.empty() ? "." : folder;
}

}  // namespace

AvOutput::AvOutput(std::string path, std::string temporary, std::unique_ptr<WritableFile> file,
                   FileSystem& files)
    : path_(std::move(path)), temporary_(std::move(temporary)), file_(std::move(file)), files_(files) {
  auto* buffer = static_cast<unsigned char*>(av_malloc(kBufferBytes));
  if (buffer)
    io_ = avio_alloc_context(buffer, kBufferBytes, 1, this, nullptr, &AvOutput::Write, &AvOutput::Seek);
  if (!io_) {
    av_free(buffer);
    throw std::bad_alloc();
  }
}

Result<std::unique_ptr<AvOutput>> AvOutput::Create(const std::string& path, FileSystem& files) {
  std::string temporary = TemporaryNameFor(path);
  AFTERSCOPE_ASSIGN(std::unique_ptr<WritableFile> file, files.Create(temporary));
  return std::unique_ptr<AvOutput>(new AvOutput(path, std::move(temporary), std::move(file), files));
}

AvOutput::~AvOutput() {
  av_freep(&io_->buffer);
  avio_context_free(&io_);
  file_.reset();
  if (!kept_) static_cast<void>(files_.Remove(temporary_));
}

int AvOutput::Write(void* self, std::uint8_t* bytes, int count) {
  auto& out = *static_cast<AvOutput*>(self);
  if (!out.failure_.ok()) return AVERROR(EIO);
  const std::string_view view(reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(count));
  out.failure_ =
      out.position_ == out.size_ ? out.file_->Append(view) : out.file_->WriteAt(out.position_, view);
  if (!out.failure_.ok()) return AVERROR(EIO);
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
  AFTERSCOPE_TRY(failure_);
  AFTERSCOPE_TRY(file_->Sync());
  AFTERSCOPE_TRY(file_->Close());
  AFTERSCOPE_TRY(files_.Rename(temporary_, path_));
  kept_ = true;
  return files_.SyncFolder(FolderOf(path_));
}

}  // namespace afterscope
