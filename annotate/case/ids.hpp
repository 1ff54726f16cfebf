// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <compare>
#include <string>

namespace afterscope {

// An identifier within one review (or case). Each kind is a type of its own, so that they can't be mixed.
// Valid ids are 1 to 64 of the characters a-z, 0-9, '-', '_'.
template <class Kind>
struct Id {
  std::string value;
  bool empty() const { return value.empty(); }
  friend auto operator<=>(const Id&, const Id&) = default;
};

using VisitId = Id<struct VisitKind>;
using MomentId = Id<struct MomentKindTag>;
using MarkId = Id<struct MarkKindTag>;
using TrailId = Id<struct TrailKindTag>;
using ScaleId = Id<struct ScaleKindTag>;
using ReviewId = Id<struct ReviewKindTag>;

bool IsValidIdText(const std::string& text);

}  // namespace afterscope
