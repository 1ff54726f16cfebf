// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/narration/narration_edits.hpp"
#include "annotate/store/case_session.hpp"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// Steps, checks and complications of one's own are free words, and a slip of the hand makes one too; so it
// does with what the machine was set to.
class KeyCautions {
 public:
  explicit KeyCautions(const CaseSession& session) : session_(session) {}

  // Before the edits are committed: a sentence for each key in them that neither the case's step list nor
  // assets/complications.json knows, with the nearest that is known. A key that the review holds, or that was
  // told, is told no more. Steps and checks of a case that names no step list are told only where a known
  // one is near. A setting outside the range that assets/settings.json has for it is told each time.
  std::vector<std::string> Of(const EditGroup& group);

 private:
  enum class Kind { kStep, kCheck, kComplication };
  struct Known {
    std::string list;  // what names them to the reader
    std::vector<std::string> keys;
  };

  void Tell(Kind kind, const std::string& key, std::vector<std::string>& cautions);
  void TellSettings(const Moment& moment, std::vector<std::string>& cautions);
  bool IsHeld(Kind kind, const std::string& key) const;
  const std::optional<Known>& KnownOf(Kind kind);

  const CaseSession& session_;
  std::set<std::pair<Kind, std::string>> told_;
  std::map<Kind, std::optional<Known>> known_;
  std::optional<std::map<std::string, ValueRange>> ranges_;
};

}  // namespace afterscope
