// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/sheets/case_fields.hpp"
#include "app/desktop/sheets/sheet.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

constexpr double kWorthSaying = 1;  // seconds

// Folder and files, and what is to be known of them.
void DrawWhere(const Scene& scene) {
  const Look& look = scene.look;
  if (scene.view.hidden)
    return SayQuietly(look, "Blinded: names, dates and files are shown once this review is signed.");
  SayQuietly(look, scene.view.folder);
  for (const Reel::Item& item : scene.reel.items())
    SayQuietly(look, item.state == Reel::State::kMissing ? "! " + item.problem
                                                         : fs::path(item.name).filename().string());
  for (const std::string& caution : scene.view.cautions) SayQuietly(look, "! " + caution);
}

void DrawThisCase(CasesState& state, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  const CaseRecord& record = scene.view.record;
  if (record.recordings.empty() && scene.view.folder.empty()) return;
  Heading(look, record.code.empty() ? "This case" : record.code);
  if (scene.view.folder.empty())
    SayQuietly(
        look,
        "Not a case yet: it becomes one, in a folder beside the recording, with the first thing you note.");
  else
    DrawWhere(scene);
  ImGui::Dummy({0, look.Px(2)});
  if (KeyedButton(look, state.fields_open ? "Fewer fields" : "Fields of the case",
                  scene.keys.KeyFor("case fields")))
    scene.wishes.actions.emplace_back("case fields");
  if (!state.fields_open) return;
  ImGui::Dummy({0, look.Px(2)});
  if (scene.view.read_only)
    SayQuietly(look, "This case is open read-only.");
  else
    DrawCaseFields(state, scene, edits);
}

const char* StageWord(CaseStage stage) {
  switch (stage) {
    case CaseStage::kNew:
      return "new";
    case CaseStage::kStarted:
      return "started";
    case CaseStage::kSigned:
      return "signed";
  }
  return "";
}

// What of the opened folder is no case yet.
void DrawNewRecordings(const DayState& day, const Scene& scene) {
  if (day.rows.empty() || scene.view.hidden) return;
  const Look& look = scene.look;
  Heading(look, day.rows.size() == 1 ? "One new recording" : fmt::format("{} new cases", day.rows.size()));
  if (KeyedButton(look, "Take them in", scene.keys.KeyFor("take in")))
    scene.wishes.actions.emplace_back("take in");
}

// Whether the cases of the folder are reviewed without their names.
void DrawBlindedChoice(CasesState& state, const Scene& scene) {
  const Look& look = scene.look;
  if (KeyedButton(look, state.blinded ? "Show the names again" : "Review these blinded",
                  scene.keys.KeyFor("blinded cases")))
    scene.wishes.actions.emplace_back("blinded cases");
  if (!state.blinded) return;
  SayQuietly(look,
             "In shuffled order, without names, dates and sound. A case that is opened gets a review of its "
             "own, blinded until it is signed:");
  if (EitherButton(look, "formative", "formal", state.blinded_formal, scene.keys.KeyFor("review kind")))
    scene.wishes.actions.emplace_back("review kind");
}

std::string UnderCase(const ShelfCase& entry, bool nameless) {
  if (nameless) return "Whose case this is is shown once it is signed";
  if (!entry.problem.empty()) return entry.problem;
  if (entry.delete_by.empty()) return entry.folder;
  return fmt::format("By its consent it was to be deleted by {}: afterscope forget --case does that",
                     entry.delete_by);
}

void DrawShelfCase(const ShelfCase& entry, const ShownShelfCase& shown, const Scene& scene) {
  const Look& look = scene.look;
  const Row row = BeginRow(look, entry.folder.c_str(), look.Px(25), entry.folder == scene.view.folder);
  if (row.pressed) scene.wishes.open = entry.folder;
  if (row.hovered) scene.wishes.under = UnderCase(entry, shown.nameless);
  const bool overdue = !shown.nameless && !entry.delete_by.empty();
  const std::string stage = !entry.problem.empty() ? "! can't be read"
                            : overdue              ? "to be deleted"
                            : entry.times_only     ? "times only"
                                                   : StageWord(entry.stage);
  const float stage_width = look.script->Size(look.fonts.small, stage).x;
  const float name_at = shown.nameless ? look.Px(6) : look.Px(84);
  if (!shown.nameless)
    RowText(look, row, row.from.x + look.Px(6), shown.date.empty() ? "no date" : shown.date,
            look.colours.quiet, look.fonts.small);
  const std::string name = shown.who.empty() ? shown.name : shown.name + "  ·  " + shown.who;
  RowText(look, row, row.from.x + name_at, name, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - name_at - stage_width - look.Px(16));
  RowTextRight(look, row, row.to.x - look.Px(5), stage, overdue ? look.colours.warning : look.colours.quiet,
               look.fonts.small);
}

std::string ShelfHeading(const CasesState& state, bool nameless) {
  const std::string cases = state.shelf.empty()       ? "Cases"
                            : state.shelf.size() == 1 ? "One case"
                                                      : fmt::format("{} cases", state.shelf.size());
  return nameless ? cases : cases + " in " + fs::path(state.shelf_folder).filename().string();
}

// What goes on in the opened folder, or why nothing of it is listed.
void DrawWhyEmpty(const CasesState& state, const DayState& day, const Scene& scene) {
  // A list that is there is looked through again in a moment, as a rule: nothing jumps for that.
  const bool long_work = state.looking && (state.shelf.empty() || state.looking->seconds() > kWorthSaying);
  const bool looks_for_cases = long_work && DrawWork(scene, state.looking);
  if (DrawWork(scene, day.job) || looks_for_cases) return;
  if (state.shelf.empty() && day.rows.empty())
    SayQuietly(scene.look,
               "No case and no recording lies in this folder. Open a folder in it, or another one.");
}

void DrawShelf(CasesState& state, const DayState& day, const Scene& scene) {
  const Look& look = scene.look;
  if (state.shelf_folder.empty()) return;
  Heading(look, ShelfHeading(state, state.blinded || scene.view.hidden));
  DrawWhyEmpty(state, day, scene);
  if (state.shelf.size() > 1)
    SayQuietly(look, scene.keys.KeyFor("next case") + " opens the next, " +
                         scene.keys.KeyFor("previous case") + " the one before.");
  if (!state.shelf.empty()) DrawBlindedChoice(state, scene);
  for (const ShownShelfCase& shown : state.shown)
    if (shown.place < state.shelf.size()) DrawShelfCase(state.shelf[shown.place], shown, scene);
}

void DrawRecent(const CasesState& state, const Scene& scene) {
  if (state.recent.empty() || state.blinded || scene.view.hidden) return;
  const Look& look = scene.look;
  Heading(look, "Recent");
  for (const std::string& path : state.recent) {
    const Row row = BeginRow(look, ("recent " + path).c_str(), look.Px(24), false);
    if (row.pressed) scene.wishes.open = path;
    if (row.hovered) scene.wishes.under = path;
    RowText(look, row, row.from.x + look.Px(6), fs::path(path).filename().string(), look.colours.text,
            look.fonts.body, row.to.x - row.from.x - look.Px(12));
  }
}

void DrawListing(CasesState& state, const Scene& scene) {
  const Look& look = scene.look;
  if (scene.view.hidden)
    return SayQuietly(look, "Names of files are hidden while a blinded review is open. " +
                                scene.keys.KeyFor("close case") + " closes this case.");
  const fs::path folder = state.listing.folder;
  SayQuietly(look, state.listing.folder);
  if (!state.listing.problem.empty()) SayQuietly(look, "! " + state.listing.problem);
  const Row up = BeginRow(look, "up", look.Px(24), false);
  if (up.pressed) state.wanted_folder = folder.parent_path().string();
  RowText(look, up, up.from.x + look.Px(6), "↑  folder above", look.colours.quiet, look.fonts.body);
  if (WordButton(look, "Open the whole folder")) scene.wishes.open = state.listing.folder;
  if (ImGui::IsItemHovered()) scene.wishes.under = "Lists its cases, and takes in its new recordings";
  for (const FolderListing::Item& item : state.listing.items) {
    const Row row = BeginRow(look, item.name.c_str(), look.Px(24), false);
    const std::string path = (folder / item.name).string();
    if (row.pressed && item.folder && !item.is_case) state.wanted_folder = path;
    if (row.pressed && (!item.folder || item.is_case)) scene.wishes.open = path;
    const std::string kind = item.is_case                    ? "case"
                             : item.folder                   ? "folder"
                             : LooksLikeNarration(item.name) ? "narration"
                                                             : "recording";
    RowText(look, row, row.from.x + look.Px(6), item.name, look.colours.text, look.fonts.body,
            row.to.x - row.from.x - look.Px(84));
    RowTextRight(look, row, row.to.x - look.Px(5), kind, look.colours.quiet, look.fonts.small);
  }
  if (state.listing.items.empty() && state.listing.problem.empty())
    SayQuietly(look, "No folder, recording or narration in here.");
}

}  // namespace

void DrawCasesSheet(CasesState& state, const DayState& day, const Scene& scene, EditQueue& edits) {
  const Look& look = scene.look;
  if (KeyedButton(look, state.browsing ? "Back to the cases" : "Open …", scene.keys.KeyFor("open")))
    scene.wishes.actions.emplace_back("open");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(6), look.Px(2)});
  if (state.browsing) {
    DrawListing(state, scene);
  } else {
    if (scene.view.record.recordings.empty() && state.shelf_folder.empty() && state.recent.empty())
      SayQuietly(
          look,
          "A recording, a case, or the folder of a whole day's recordings. Nothing has to be filled in "
          "before the first remark.");
    DrawThisCase(state, scene, edits);
    DrawNewRecordings(day, scene);
    DrawShelf(state, day, scene);
    DrawRecent(state, scene);
  }
  ImGui::PopStyleVar();
}

}  // namespace afterscope
