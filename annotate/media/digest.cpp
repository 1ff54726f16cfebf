// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/digest.hpp"

#include <array>

extern "C" {
#include <libavutil/mem.h>
#include <libavutil/sha.h>
}

namespace afterscope {

struct Sha256::State {
  struct Free {
    void operator()(AVSHA* context) const { av_free(context); }
  };
  std::unique_ptr<AVSHA, Free> sha{av_sha_alloc()};
};

Sha256::Sha256() : state_(std::make_unique<State>()) { av_sha_init(state_->sha.get(), 256); }
Sha256::~Sha256() = default;

void Sha256::Update(std::string_view bytes) {
  av_sha_update(state_->sha.get(), reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
}

std::string Sha256::Hex() {
  std::array<std::uint8_t, 32> digest{};
  av_sha_final(state_->sha.get(), digest.data());
  constexpr char kDigits[] = "0123456789abcdef";
  std::string hex;
  for (const std::uint8_t byte : digest) {
    hex += kDigits[byte >> 4];
    hex += kDigits[byte & 15];
  }
  return hex;
}

std::string Sha256Hex(std::string_view bytes) {
  Sha256 sha;
  sha.Update(bytes);
  return sha.Hex();
}

}  // namespace afterscope
