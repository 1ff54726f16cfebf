// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/random.hpp"
#include "metrics/phantom/script.hpp"

// How a script is written step by step; used only by the script_*.cpp files.
namespace afterscope::phantom {

// A stretch for a step, and how skilled its operator is.
struct Stretch {
  double start_s = 0;
  double end_s = 0;
  double skill = 0.5;
  double length() const { return end_s - start_s; }
};

class ScriptWriter {
 public:
  ScriptWriter(const Scene& scene, Script& script);

  void SidePort(const Stretch& at);
  void Viscoelastic(const Stretch& at);
  void MainIncision(const Stretch& at);
  void Rhexis(const Stretch& at);
  void Hydrodissection(const Stretch& at);
  void NucleusDivision(const Stretch& at);
  void FragmentRemoval(const Stretch& at);
  void Cortex(const Stretch& at);
  void BagRefill(const Stretch& at);
  void Lens(const Stretch& at);
  void Positioning(const Stretch& at);
  void ViscoelasticRemoval(const Stretch& at);
  void Hydration(const Stretch& at);
  // Eye, microscope and light over the whole operation.
  void EyeAndMicroscope();

 private:
  // An instrument that comes in through the incision at that picture angle, its tip at `target` at the end of
  // `in_s`.
  ToolUse Enter(Tool tool, bool main_hand, double at_s, PointMm target, double in_s) const;
  // Takes it out, so that it is gone at `end_s`, and keeps it.
  void Leave(ToolUse use, double end_s);
  double Angle(bool main_hand) const;
  PointMm Wound(bool main_hand) const;  // in the plane of the capsule, as a tip's path is
  PointMm Outside(bool main_hand) const;
  PointMm Jittered(PointMm p, double spread_mm);
  // A hand that waits: small corrections until `until_s`.
  void Dither(TipPath& path, double until_s, double spread_mm);
  void Injection(const Stretch& at, bool main_hand, double reach_mm);

  const Scene& scene_;
  Script& script_;
  Random random_;
  double magnification_;
};

}  // namespace afterscope::phantom
