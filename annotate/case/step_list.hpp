// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace afterscope {

struct StepKind {
  std::string key;       // stable, in files
  std::string name;      // shown
  std::string shortcut;  // one key, empty: none
  bool add_on = false;   // not part of the usual order
  // While it goes on the tip is to stay within this share of the limbus' radius of its centre; 0: anywhere.
  double tip_within = 0;
};

struct CheckKind {
  std::string key;
  std::string name;
  std::string step;  // where it is usually seen; may be empty
};

// The editable vocabulary of a kind of operation; a file in assets/step_lists.
struct StepList {
  std::string id;
  std::string name;
  std::vector<StepKind> steps;  // in the usual order
  std::vector<CheckKind> checks;

  // The step with that key, or null.
  const StepKind* Find(const std::string& key) const;
  // What to show for a key: the step's name, or the key itself where the list does not have it.
  std::string NameOf(const std::string& key) const;
};

}  // namespace afterscope
