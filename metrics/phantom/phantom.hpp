// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/phantom/scene.hpp"
#include "metrics/phantom/script.hpp"
#include "metrics/phantom/truth.hpp"

#include <opencv2/core.hpp>

#include <memory>

namespace afterscope::phantom {

// A synthetic recording of an operation: the picture and the truth at any instant. Rendering is const and
// starts no threads; several threads may render at once, each with a Brush of its own.
class Phantom {
 public:
  // What rendering keeps from one picture to the next for speed; never changes what is rendered.
  class Brush {
   public:
    Brush();
    ~Brush();
    Brush(Brush&&) noexcept;
    Brush& operator=(Brush&&) noexcept;

   private:
    friend class Phantom;
    struct State;
    std::unique_ptr<State> state_;
  };

  explicit Phantom(Scene scene);
  ~Phantom();
  Phantom(const Phantom&) = delete;
  Phantom& operator=(const Phantom&) = delete;

  const Scene& scene() const;
  const Script& script() const;
  InstantTruth Truth(double seconds) const { return TruthAt(scene(), script(), seconds); }

  // Whether a lid (or what lies on it) hides that place of the picture.
  bool HiddenByLid(PointPx at, double seconds) const;

  // The picture in the scene's own format; an interlaced one holds the instants `seconds` (top field) and
  // `seconds` + field_seconds (bottom field). Its frame identity is left empty.
  Picture Render(double seconds, Brush& brush) const;
  // BGR in square pixels, without noise: for looking and for tests. The exposure is that of a picture.
  cv::Mat RenderClean(double seconds, Brush& brush) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace afterscope::phantom
