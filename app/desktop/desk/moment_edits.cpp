// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/moment_edits.hpp"

#include "annotate/case/words.hpp"

namespace afterscope {

Result<EditGroup> SetCheckSeen(const Review& review, const CheckKind& check, CheckState state, FrameRef at,
                               const std::function<MomentId()>& new_id) {
  EditGroup group{"Check", {SetCheck{check.key, state}}};
  for (const Moment& moment : review.moments)
    if (moment.kind == MomentKind::kCheck && moment.key == check.key)
      group.edits.emplace_back(Remove<MomentId>{moment.id});
  if (state != CheckState::kSeenDone && state != CheckState::kSeenNotDone) return group;
  Moment pin;
  pin.id = new_id();
  pin.at = at;
  pin.kind = MomentKind::kCheck;
  pin.key = check.key;
  pin.text = check.name + ": " + std::string(WordOf(state));
  pin.fields["state"] = std::string(WordOf(state));
  group.edits.emplace_back(Put<Moment>{pin});
  return group;
}

const Moment* PinOfCheck(const Review& review, const std::string& check) {
  const Moment* pin = nullptr;
  for (const Moment& moment : review.moments)
    if (moment.kind == MomentKind::kCheck && moment.key == check) pin = &moment;
  return pin;
}

}  // namespace afterscope
