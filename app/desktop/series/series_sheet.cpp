// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_sheet.hpp"

#include "annotate/case/blinding.hpp"
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/update_index.hpp"
#include "app/common/assets.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/part.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <utility>

namespace afterscope {
namespace {

constexpr std::array<const char*, 6> kGroups{"", "difficulty", "operator", "role", "eye", "course"};

// What can be written of a series; some of it about one person alone.
struct PaperLine {
  const char* action;
  const char* words;
  SeriesPaper paper;
  bool of_one;
};

constexpr std::array kPapers{PaperLine{"series report", "Series report", SeriesPaper::kSeries, false},
                             PaperLine{"series table", "Table", SeriesPaper::kTable, false},
                             PaperLine{"progress report", "Progress report", SeriesPaper::kProgress, true},
                             PaperLine{"portfolio", "Portfolio", SeriesPaper::kPortfolio, true},
                             PaperLine{"logbook", "Logbook", SeriesPaper::kLogbook, true}};

Result<SeriesModel> ModelOf(const std::string& folder, SeriesOptions options, const PlanChange& change,
                            const Progress& progress, const StopQuery& stop) {
  AFTERSCOPE_TRY(TakePlan(options, change));
  AFTERSCOPE_ASSIGN(const CurrentIndex current, OpenCurrentIndex(DefaultIndexPath(), folder, progress, stop));
  AFTERSCOPE_ASSIGN(SeriesModel model, BuildSeries(*current.index, current.folder, options));
  const std::vector<std::string>& problems = current.update.problems;
  if (problems.size() == 1) model.cautions.push_back("1 case can't be read: " + problems.front());
  if (problems.size() > 1)
    model.cautions.push_back(fmt::format("{} cases can't be read: {}", problems.size(), problems.front()));
  return model;
}

std::string GroupsWords(const std::string& by, const std::string& person) {
  if (by.empty()) return "No groups";
  if (by.starts_with("date:")) return "Before and since";
  return by == "operator" && !person.empty() ? std::string("Against the others") : "By " + by;
}

}  // namespace

SeriesOptions SeriesSheet::Options() const {
  SeriesOptions options;
  options.filter = choice_.filter;
  options.filter.operator_code = person_;
  options.by = choice_.by;
  options.reference = choice_.reference;
  // Of one person's cases alone there is but one group: they are set against the others'.
  if (choice_.by == "operator" && !person_.empty() && page_ == Page::kFigures) {
    options.filter.operator_code.clear();
    options.by = "operator:" + person_;
  }
  return options;
}

void SeriesSheet::Build() {
  if (building_) building_->Stop();
  problem_.clear();
  building_ = calls_.jobs.Start(
      "Looking through the cases",
      [folder = folder_, options = Options(), change = choice_.change](const Progress& progress,
                                                                       const StopQuery& stop) {
        return ModelOf(folder, options, change, progress, stop);
      },
      [this, asked = ++asked_](Result<SeriesModel> model) {
        if (asked != asked_) return;
        if (model.ok()) return Take(std::move(*model));
        model_.reset();
        figures_.clear();
        problem_ = model.error().message;
      });
}

void SeriesSheet::Write(SeriesPaper paper) {
  if (writing_ && !writing_->ended()) return;
  writing_ = calls_.jobs.Start(
      "Writing what was asked for",
      [paper, folder = folder_, options = Options(), change = choice_.change](const Progress& progress,
                                                                              const StopQuery& stop) {
        return WriteSeriesPaper(paper, folder, options, change, progress, stop);
      },
      [this](const Result<WrittenPaper>& written) {
        if (!written.ok()) return calls_.say(written.error().message, true);
        calls_.say("It is in " + written->path, false);
        if (written->pages) calls_.show_pages(written->pages);
      });
}

void SeriesSheet::TakeTable(const std::string& path, const std::string& open_folder) {
  const std::string folder = calls_.cases_folder();
  if (folder.empty())
    return calls_.say("A table of outcomes belongs to a folder of cases: open one first.", true);
  calls_.jobs.Start(
      "Bringing in a table",
      [path, folder, open_folder](const Progress& progress, const StopQuery& stop) {
        return TakeOutcomeTable(path, folder, open_folder, progress, stop);
      },
      [this](const Result<TakenTable>& taken) {
        if (!taken.ok()) return calls_.say(taken.error().message, true);
        for (const OutcomeRow& row : taken->of_open_case)
          calls_.push([row](CaseSession& session) -> Result<EditGroup> {
            return OutcomeEdits(row, session.record());
          });
        calls_.say(taken->words, false);
        if (shown_ && !blind_) Build();
      });
}

bool SeriesSheet::DoPage(const std::string& action) {
  if (action == "series figures")
    page_ = Page::kFigures;
  else if (action == "series find")
    page_ = Page::kFind;
  else if (action == "series due")
    page_ = Page::kDue;
  else
    return false;
  find_.Leave();
  due_.Leave();
  if (page_ == Page::kFind) find_.Enter();
  return true;
}

bool SeriesSheet::DoPaper(const std::string& action) {
  if (page_ != Page::kFigures || !model_) return false;
  const auto paper = std::find_if(kPapers.begin(), kPapers.end(),
                                  [&](const PaperLine& line) { return action == line.action; });
  if (paper == kPapers.end()) return false;
  if (paper->of_one && person_.empty())
    calls_.say("This paper is about one person: choose whose cases first.", true);
  else
    Write(paper->paper);
  return true;
}

void SeriesSheet::OpenChoice() {
  choice_open_ = !choice_open_;
  choice_wanted_ = choice_open_;
}

void SeriesSheet::Take(SeriesModel model) {
  if (person_.empty() && ChosenFields(choice_) == 0) people_ = model.operators;
  figures_ = FiguresOf(model);
  model_ = std::make_shared<const SeriesModel>(std::move(model));
  chart_.Forget();
  if (Figure() == nullptr && !figures_.empty()) figure_ = figures_.front().name;
}

const SeriesFigure* SeriesSheet::Figure() const {
  const auto found = std::find_if(figures_.begin(), figures_.end(),
                                  [&](const SeriesFigure& figure) { return figure.name == figure_; });
  return found == figures_.end() ? nullptr : &*found;
}

void SeriesSheet::Follow(const Scene& scene, bool shown) {
  const bool opened = shown && !shown_;
  if (!shown && shown_) {
    find_.Leave();
    due_.Leave();
  }
  shown_ = shown;
  blind_ = IsBlind(scene.view.review);
  if (!shown || blind_) return;
  const std::string folder = calls_.cases_folder();
  if (!opened && folder == folder_) return;
  if (folder != folder_) {
    model_.reset();
    figures_.clear();
    person_.clear();
  }
  folder_ = folder;
  if (!folder_.empty()) Build();
}

void SeriesSheet::ChooseFigure(std::size_t index) {
  if (index >= figures_.size()) return;
  figure_ = figures_[index].name;
  chart_.Forget();
}

void SeriesSheet::ChoosePerson(int direction) {
  const auto at = std::find(people_.begin(), people_.end(), person_);
  const auto count = static_cast<int>(people_.size()) + 1;  // and everyone
  const int place = at == people_.end() ? 0 : static_cast<int>(at - people_.begin()) + 1;
  const int next = (place + direction + count) % count;
  person_ = next == 0 ? std::string() : people_[static_cast<std::size_t>(next - 1)];
  Build();
}

void SeriesSheet::ChooseGroups() {
  const auto* at = std::find(kGroups.begin(), kGroups.end(), choice_.by);
  choice_.by = at == kGroups.end() || at + 1 == kGroups.end() ? kGroups.front() : *(at + 1);
  Build();
}

void SeriesSheet::Open(std::size_t point) {
  const SeriesFigure* figure = Figure();
  if (figure == nullptr || !model_) return;
  const SeriesSpot spot = SpotOf(*figure, *model_, point);
  if (spot.entry == nullptr) return;
  calls_.open_at(spot.entry->folder, spot.frame);
  calls_.show(SheetKind::kSteps);
}

bool SeriesSheet::Do(const std::string& action, const Scene& scene) {
  if (blind_) return false;
  if (DoPage(action) || DoPaper(action)) return true;
  if (page_ == Page::kDue) return due_.Do(action, scene);
  if (action == "series person")
    ChoosePerson(1);
  else if (action == "series cases")
    OpenChoice();
  else if (page_ == Page::kFind)
    return find_.Do(action, scene);
  else if (action == "series groups")
    ChooseGroups();
  else
    return DoChart(action);
  return true;
}

// From figure to figure, from case to case in its chart.
bool SeriesSheet::DoChart(const std::string& action) {
  const SeriesFigure* figure = Figure();
  const bool nothing = figure == nullptr || !model_;  // the picture that is moved otherwise is not seen
  if (action == "next moment" || action == "previous moment") {
    if (nothing) return true;
    const auto at = static_cast<std::size_t>(figure - figures_.data());
    const std::size_t step = action == "next moment" ? 1 : figures_.size() - 1;
    ChooseFigure((at + step) % figures_.size());
    scroll_ = true;
  } else if (action == "next frame" || action == "previous frame") {
    chart_.Turn(action == "next frame" ? 1 : -1, nothing ? 0 : PointCount(*figure, *model_));
  } else if (action == "remark") {
    if (const auto point = chart_.point()) Open(*point);
  } else {
    return false;
  }
  return true;
}

std::vector<KeyHint> SeriesSheet::Hints(const Scene& scene) const {
  if (blind_) return {};
  if (page_ == Page::kFind) return find_.Hints(scene);
  if (page_ == Page::kDue) return due_.Hints(scene);
  if (figures_.empty()) return {};
  return {
      {scene.keys.KeyFor("next moment"), "next figure"}, {scene.keys.KeyFor("next frame"), "next case"},
      {scene.keys.KeyFor("remark"), "open the case"},    {scene.keys.KeyFor("series person"), "whose cases"},
      {scene.keys.KeyFor("series groups"), "groups"},    {scene.keys.KeyFor("leave"), "back to the steps"}};
}

void SeriesSheet::Draw(const Scene& scene) {
  const Look& look = scene.look;
  if (blind_)
    return SayQuietly(
        look,
        "This review is blind: series would tell whose case it is. They are shown again once it "
        "is signed.");
  if (folder_.empty())
    return SayQuietly(look, "Open a folder of cases, or a case that lies in one: its series is shown here.");
  DrawPages(scene);
  SayQuietly(look, std::filesystem::path(folder_).filename().string());
  DrawChoice(scene);
  if (page_ == Page::kFind) return find_.Draw(scene, folder_, Options().filter);
  if (page_ == Page::kDue) return due_.Draw(scene, folder_);
  DrawFigures(scene);
}

void SeriesSheet::DrawPages(const Scene& scene) {
  ButtonRow row(scene.look);
  const auto page = [&](const char* words, const char* action, Page each) {
    if (row.Add(words, scene.keys.KeyFor(action), page_ == each)) scene.wishes.actions.emplace_back(action);
  };
  page("Figures", "series figures", Page::kFigures);
  page("Find and play", "series find", Page::kFind);
  page("What is due", "series due", Page::kDue);
}

// Whose cases, which of them, and compared by what. Of what is due all is shown.
void SeriesSheet::DrawChoice(const Scene& scene) {
  if (page_ == Page::kDue) return;
  const Look& look = scene.look;
  {
    ButtonRow row(look);
    if (row.Add(person_.empty() ? "Everyone" : person_, scene.keys.KeyFor("series person"))) ChoosePerson(1);
    if (page_ == Page::kFigures &&
        row.Add(GroupsWords(choice_.by, person_), scene.keys.KeyFor("series groups")))
      ChooseGroups();
    const int chosen = ChosenFields(choice_);
    if (row.Add(chosen == 0 ? "Which cases" : fmt::format("Which cases ({})", chosen),
                scene.keys.KeyFor("series cases"), choice_open_))
      OpenChoice();
  }
  if (std::exchange(choice_wanted_, false)) ImGui::SetKeyboardFocusHere();
  if (choice_open_ && DrawSeriesChoice(look, typed_, choice_, problem_)) Build();
  if (!problem_.empty()) Say(look, "!  " + problem_, look.colours.warning, look.fonts.body, true);
}

void SeriesSheet::DrawFigures(const Scene& scene) {
  const Look& look = scene.look;
  if (DrawWork(scene, building_) || !model_) return;
  DrawPapers(scene);
  Heading(look, fmt::format("{} case{}", model_->cases.size(), model_->cases.size() == 1 ? "" : "s"));
  for (const std::string& caution : model_->cautions) SayQuietly(look, "! " + caution);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {0, look.Px(1)});
  for (std::size_t i = 0; i < figures_.size(); ++i) {
    const SeriesFigure& figure = figures_[i];
    const bool chosen = figure.name == figure_;
    const Row row = BeginRow(look, figure.name.c_str(), look.Px(24), chosen);
    if (chosen && scroll_) ImGui::SetScrollHereY(0.4F);
    if (row.pressed) ChooseFigure(i);
    const float width = look.script->Size(look.fonts.small, figure.count).x;
    RowText(look, row, row.from.x + look.Px(6), figure.label, look.colours.text, look.fonts.body,
            row.to.x - row.from.x - width - look.Px(20));
    RowTextRight(look, row, row.to.x - look.Px(5), figure.count, look.colours.quiet, look.fonts.small);
  }
  scroll_ = false;
  ImGui::PopStyleVar();
}

void SeriesSheet::DrawPapers(const Scene& scene) {
  if (DrawWork(scene, writing_)) return;
  SayQuietly(scene.look, "Write it beside the cases:");
  ButtonRow row(scene.look);
  for (const PaperLine& line : kPapers) {
    if (line.of_one && person_.empty()) continue;
    if (row.Add(line.words, scene.keys.KeyFor(line.action))) Write(line.paper);
  }
}

void SeriesSheet::DrawOver(const Scene& scene, const ScreenRect& picture) {
  if (!Covers()) return;
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled({picture.left, picture.top}, {picture.right, picture.bottom}, Ink(look.colours.sheet));
  list->AddLine({picture.right - 1, picture.top}, {picture.right - 1, picture.bottom},
                Ink(look.colours.rule));
  const SeriesFigure* figure = Figure();
  if (blind_ || figure == nullptr || !model_) {
    const bool looking = !blind_ && building_ && !building_->ended();
    const std::string words = looking ? "Looking through the cases …" : "There is nothing to show yet.";
    look.script->Draw(list, look.fonts.body, {picture.left + look.Px(18), picture.top + look.Px(14)},
                      Ink(look.colours.quiet), blind_ ? "This review is blind." : words);
    return;
  }
  if (const auto pressed = chart_.Draw(look, *figure, *model_, picture)) Open(*pressed);
}

}  // namespace afterscope
