// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <memory>
#include <string>

namespace afterscope {

// The shortest way to a frame with the FFmpeg libraries alone: jump to the key frame before it, decode up to
// it. What access to frames is compared with.
class BareDecoder {
 public:
  explicit BareDecoder(const std::string& file);  // ends the program if it can't be opened
  ~BareDecoder();
  BareDecoder(const BareDecoder&) = delete;
  BareDecoder& operator=(const BareDecoder&) = delete;

  // False if no frame with that timestamp came.
  bool GoTo(std::int64_t pts);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace afterscope
