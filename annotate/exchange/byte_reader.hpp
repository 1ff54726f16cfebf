// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <fstream>
#include <optional>
#include <string>

namespace afterscope {

// Reads parts of a file that may be very long. Big-endian numbers. Reading beyond the end gives nothing.
class ByteReader {
 public:
  explicit ByteReader(const std::string& path) : file_(path, std::ios::binary) {
    file_.seekg(0, std::ios::end);
    size_ = file_ ? static_cast<std::int64_t>(file_.tellg()) : -1;
  }

  bool ok() const { return size_ >= 0; }
  std::int64_t size() const { return size_; }

  std::string Bytes(std::int64_t at, std::int64_t count) {
    if (at < 0 || count <= 0 || at > size_ - count) return {};
    std::string bytes(static_cast<std::size_t>(count), '\0');
    file_.clear();
    file_.seekg(at);
    file_.read(bytes.data(), count);
    return file_ ? bytes : std::string();
  }

  std::optional<std::uint64_t> Number(std::int64_t at, int bytes) {
    const std::string text = Bytes(at, bytes);
    if (text.empty()) return std::nullopt;
    std::uint64_t value = 0;
    for (const char c : text) value = value << 8 | static_cast<unsigned char>(c);
    return value;
  }

 private:
  std::ifstream file_;
  std::int64_t size_ = -1;
};

}  // namespace afterscope
