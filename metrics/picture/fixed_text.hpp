// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/base/point.hpp"

#include <memory>
#include <vector>

namespace afterscope {

// An area that probably holds words or a clock burnt into the recording, between two opposite corners, in
// pixels of the decoded picture.
struct TextArea {
  PointPx corner;
  PointPx opposite;
  double sharpness = 0;  // share of its small blocks that had hard edges in every picture, 0 to 1
};

// Finds what was written into the picture by a recorder: strokes, which have hard edges on both sides, at the
// same place in every picture, though the figures of a clock change. Give it pictures from all over a
// recording (two dozen or more, at least some with the eye or the instruments elsewhere). It proposes; it may
// miss soft, faint or short-lived words, and take a still, sharp structure for words.
class FixedTextFinder {
 public:
  FixedTextFinder();
  ~FixedTextFinder();
  FixedTextFinder(FixedTextFinder&&) noexcept;
  FixedTextFinder& operator=(FixedTextFinder&&) noexcept;

  // A picture of another size than the first is passed over.
  void Add(const Picture& picture);
  int count() const;
  // From the top left to the bottom right; none from fewer than eight pictures.
  std::vector<TextArea> Find() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace afterscope
