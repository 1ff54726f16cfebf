// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/find_panel.hpp"

#include "annotate/jobs/series/update_index.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace afterscope {
namespace {

struct QueryField {
  const char* words;
  const char* hint;
  std::string StretchQuery::*member;
};

constexpr std::array kFields{QueryField{"Step", "its name", &StretchQuery::step},
                             QueryField{"Complication", "its name, or any", &StretchQuery::complication},
                             QueryField{"Check", "its name", &StretchQuery::check},
                             QueryField{"Words", "in moments", &StretchQuery::words}};

bool SameName(const std::string& a, const std::string& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](unsigned char x, unsigned char y) { return std::tolower(x) == std::tolower(y); });
}

// The key of what is called so, else the text itself.
template <class Items>
std::string KeyOf(const Items& items, const std::string& text) {
  for (const auto& item : items)
    if (item.key == text || SameName(item.name, text)) return item.key;
  return text;
}

struct Found {
  std::vector<Stretch> stretches;
  std::size_t problems = 0;
};

Result<Found> FindIn(const std::string& folder, const SeriesFilter& filter, StretchQuery query,
                     const StepList& steps, const Progress& progress, const StopQuery& stop) {
  query.step = KeyOf(steps.steps, query.step);
  query.check = KeyOf(steps.checks, query.check);
  AFTERSCOPE_ASSIGN(const auto complications,
                    LoadNamedKeys(AssetsFolder() + "/complications.json", "complications"));
  query.complication = KeyOf(complications, query.complication);
  AFTERSCOPE_ASSIGN(const CurrentIndex current, OpenCurrentIndex(DefaultIndexPath(), folder, progress, stop));
  AFTERSCOPE_ASSIGN(auto stretches,
                    FindStretches(*current.index, current.folder, filter, query, AssetsFolder()));
  return Found{std::move(stretches), current.update.problems.size()};
}

}  // namespace

void FindPanel::Search(const Scene& scene, const std::string& folder, const SeriesFilter& filter) {
  if (looking_) looking_->Stop();
  walk_.Stop();
  said_.clear();
  looking_ = calls_.jobs.Start(
      "Looking for stretches",
      [folder, filter, query = query_, steps = scene.steps](const Progress& progress, const StopQuery& stop) {
        return FindIn(folder, filter, query, steps, progress, stop);
      },
      [this, asked = ++asked_](Result<Found> found) {
        if (asked != asked_) return;
        found_.clear();
        if (!found.ok()) {
          said_ = found.error().message;
          return;
        }
        found_ = std::move(found->stretches);
        said_ = found_.empty()       ? "Nothing of that was found."
                : found_.size() == 1 ? "1 stretch"
                                     : fmt::format("{} stretches", found_.size());
        if (found->problems == 1) said_ += "; 1 case can't be read";
        if (found->problems > 1) said_ += fmt::format("; {} cases can't be read", found->problems);
      });
}

bool FindPanel::Do(const std::string& action, const Scene& scene) {
  if (!walk_.on()) {
    if (action != "remark" || found_.empty()) return false;
    walk_.Start(found_, 0);
  } else if (action == "next moment" || action == "previous moment")
    walk_.Turn(action == "next moment" ? 1 : -1);
  else if (action == "leave")
    StopHere(scene);
  else
    return false;
  return true;
}

void FindPanel::StopHere(const Scene& scene) {
  walk_.Stop();
  calls_.jump(scene.player.playhead());  // the recording rests
}

std::vector<KeyHint> FindPanel::Hints(const Scene& scene) const {
  if (!walk_.on() && found_.empty()) return {};
  if (!walk_.on())
    return {{scene.keys.KeyFor("remark"), "play them one after another"},
            {scene.keys.KeyFor("series find"), "look for others"}};
  return {{scene.keys.KeyFor("play"), scene.player.playing() ? "pause" : "play"},
          {scene.keys.KeyFor("next moment"), "next stretch"},
          {scene.keys.KeyFor("previous moment"), "the one before"},
          {scene.keys.KeyFor("leave"), "stop here"}};
}

// What the walk asks for is done by the same actions as keys.
void FindPanel::Walk(const Scene& scene) {
  const Player& player = scene.player;
  const StretchWalk::Sight sight{scene.view.folder, !scene.view.record.recordings.empty(),
                                 scene.Seconds(player.playhead()), scene.clock.TotalSeconds(),
                                 player.playing()};
  const StretchWalk::Act act = walk_.Follow(sight);
  if (act == StretchWalk::Act::kOpen) calls_.open_at(walk_.Now()->folder, walk_.Now()->at);
  if (act == StretchWalk::Act::kPlay) {
    calls_.jump(scene.clock.At(walk_.Now()->start_s));
    scene.wishes.actions.emplace_back("play");
  }
  if (act == StretchWalk::Act::kRest && player.playing()) scene.wishes.actions.emplace_back("play");
  if (walk_.on()) calls_.wake();
}

void FindPanel::DrawFields(const Scene& scene) {
  if (std::exchange(wants_field_, false)) ImGui::SetKeyboardFocusHere();
  ImGui::PushAllowKeyboardFocus(!walk_.on());  // while stretches play, Tab goes to the next one
  for (const QueryField& field : kFields) {
    std::string& kept = query_.*field.member;
    if (auto text =
            DrawTextField(scene.look, typed_,
                          {fmt::format("find {}", field.words), field.words, field.hint, false}, kept)) {
      kept = std::move(*text);
      changed_ = true;
    }
  }
  ImGui::PopAllowKeyboardFocus();
}

void FindPanel::DrawFound(const Scene& scene) {
  const Look& look = scene.look;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, look.Px(1)});
  for (std::size_t i = 0; i < found_.size(); ++i) {
    const Stretch& stretch = found_[i];
    const bool now = walk_.on() && walk_.place() == i;
    const Row row = BeginRow(look, fmt::format("stretch {}", i).c_str(), look.Px(40), now);
    if (row.pressed) walk_.Start(found_, i);
    const std::string time =
        fmt::format("{} – {}", ClockText(stretch.start_s, 0), ClockText(stretch.end_s, 0));
    const float width = look.script->Size(look.fonts.small, time).x;
    const Row top{false, false, row.from, {row.to.x, row.from.y + look.Px(22)}};
    const Row below{false, false, {row.from.x, row.from.y + look.Px(18)}, row.to};
    RowText(look, top, row.from.x + look.Px(6), fmt::format("{}   {}", stretch.date, stretch.code),
            look.colours.text, now ? look.fonts.strong : look.fonts.body,
            row.to.x - row.from.x - width - look.Px(20));
    RowTextRight(look, top, row.to.x - look.Px(5), time, look.colours.quiet, look.fonts.small);
    const std::string what = scene.steps.NameOf(stretch.what);
    RowText(look, below, row.from.x + look.Px(6),
            stretch.words.empty() ? what : fmt::format("{}: {}", what, stretch.words), look.colours.quiet,
            look.fonts.small, row.to.x - row.from.x - look.Px(14));
  }
  ImGui::PopStyleVar();
}

void FindPanel::Draw(const Scene& scene, const std::string& folder, const SeriesFilter& filter) {
  const Look& look = scene.look;
  Walk(scene);
  DrawFields(scene);
  if (std::exchange(changed_, false)) Search(scene, folder, filter);
  if (DrawWork(scene, looking_)) return;
  if (said_.empty())
    return SayQuietly(
        look,
        "Say what to look for. All that is said must fit: with a step and words, moments within "
        "that step.");
  Heading(look, walk_.on() ? PlaceText(walk_) : said_);
  if (!found_.empty()) {
    ButtonRow row(look);
    if (!walk_.on() && row.Add("Play one after another", scene.keys.KeyFor("remark"))) walk_.Start(found_, 0);
    if (walk_.on() && row.Add("Stop", scene.keys.KeyFor("leave"))) StopHere(scene);
  }
  DrawFound(scene);
}

}  // namespace afterscope
