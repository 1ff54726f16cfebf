// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper_messages.hpp"
#include "metrics/base/picture.hpp"

#include <cstddef>
#include <cstdint>
#include <memory>

namespace afterscope {

// A view of a picture in the shared memory; empty where the layout does not lie within it (it comes from a
// process that may have gone wrong).
Picture ViewShared(const PictureLayout& layout, const std::uint8_t* shared, std::size_t shared_bytes);

// The same with pixels of its own, rows without padding, from memory that is used again once the copy is
// gone. Thread-safe.
Picture OwnCopy(const Picture& picture);

}  // namespace afterscope
