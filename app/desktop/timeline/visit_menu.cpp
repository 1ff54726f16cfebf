// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/visit_menu.hpp"

#include "app/desktop/look/widgets.hpp"

#include <algorithm>
#include <array>

namespace afterscope {
namespace {

struct MenuLine {
  const char* action;
  const char* words;
};

constexpr std::array kLines{MenuLine{"rename step", "Rename it: a step's key"},
                            MenuLine{"step starts here", "It starts at the playhead"},
                            MenuLine{"step ends here", "It ends at the playhead"},
                            MenuLine{"split step", "Split at the playhead"},
                            MenuLine{"join steps", "Join with the next one"},
                            MenuLine{"operator", "Who operated"},
                            MenuLine{"remove step", "Remove it"}};

const StepVisit* Find(const Review& review, const VisitId& id) {
  const auto found = std::find_if(review.visits.begin(), review.visits.end(),
                                  [&](const StepVisit& visit) { return visit.id == id; });
  return found == review.visits.end() ? nullptr : &*found;
}

}  // namespace

void OpenVisitMenu(TimelineState& state, const BandRecord* under) {
  if (under == nullptr || !ImGui::IsMouseClicked(1)) return;
  state.menu_visit = under->visits.front();
  ImGui::OpenPopup("visit");
}

void DrawVisitMenu(TimelineState& state, const Scene& scene) {
  const Look& look = scene.look;
  if (!ImGui::BeginPopup("visit")) {
    state.menu_visit.reset();
    return;
  }
  const StepVisit* visit = state.menu_visit ? Find(scene.view.review, *state.menu_visit) : nullptr;
  if (visit == nullptr || !scene.Editable()) {
    ImGui::CloseCurrentPopup();
    ImGui::EndPopup();
    return;
  }
  Say(look, scene.steps.NameOf(visit->step), look.colours.text, look.fonts.strong);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, 0});
  ImGui::Dummy({look.Px(300), 1});
  for (const MenuLine& line : kLines) {
    const Row row = BeginRow(look, line.action, look.Px(26), false);
    RowText(look, row, row.from.x + look.Px(4), line.words, look.colours.text, look.fonts.body);
    const std::string key = scene.keys.KeyFor(line.action);
    if (!key.empty())
      DrawKey(look, ImGui::GetWindowDrawList(),
              {row.to.x - KeyWidth(look, key) - look.Px(2), row.from.y + look.Px(3)}, key);
    if (!row.pressed) continue;
    scene.wishes.actions.emplace_back(line.action);
    scene.wishes.about = visit->id;
    ImGui::CloseCurrentPopup();
  }
  ImGui::PopStyleVar();
  ImGui::EndPopup();
}

}  // namespace afterscope
