// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

namespace afterscope {

// Writes numbers and texts one after another into a message between two processes of one machine and one
// build.
class WireWriter {
 public:
  WireWriter& Int(std::int64_t value) {
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
    return *this;
  }
  WireWriter& Real(double value) { return Int(std::bit_cast<std::int64_t>(value)); }
  WireWriter& Text(std::string_view text) {
    Int(static_cast<std::int64_t>(text.size()));
    bytes_ += text;
    return *this;
  }
  const std::string& bytes() const { return bytes_; }
  std::string Take() { return std::move(bytes_); }

 private:
  std::string bytes_;
};

// Reads them back. Reading past the end gives zeros and makes good() false.
class WireReader {
 public:
  explicit WireReader(std::string_view bytes) : rest_(bytes) {}
  std::int64_t Int() {
    std::int64_t value = 0;
    if (!Have(sizeof value)) return 0;
    std::memcpy(&value, rest_.data(), sizeof value);
    rest_.remove_prefix(sizeof value);
    return value;
  }
  double Real() { return std::bit_cast<double>(Int()); }
  bool Flag() { return Int() != 0; }
  std::string Text() {
    const std::int64_t size = Int();
    if (size < 0 || !Have(static_cast<std::size_t>(size))) return {};
    std::string text(rest_.substr(0, static_cast<std::size_t>(size)));
    rest_.remove_prefix(static_cast<std::size_t>(size));
    return text;
  }
  bool good() const { return good_; }
  std::size_t left() const { return rest_.size(); }

 private:
  bool Have(std::size_t count) {
    good_ = good_ && rest_.size() >= count;
    return good_;
  }
  std::string_view rest_;
  bool good_ = true;
};

}  // namespace afterscope
