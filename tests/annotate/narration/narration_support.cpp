// SPDX-License-Identifier: Apache-2.0
#include "tests/annotate/narration/narration_support.hpp"

#include "annotate/store/step_list_file.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace afterscope {
namespace {

DraftKind KindOf(const std::string& word) {
  static const std::map<std::string, DraftKind> kinds{{"settings", DraftKind::kSettings},
                                                      {"complication", DraftKind::kComplication},
                                                      {"teaching_point", DraftKind::kTeachingPoint},
                                                      {"check", DraftKind::kCheck},
                                                      {"follow_up", DraftKind::kFollowUp}};
  INFO(word);
  REQUIRE(kinds.contains(word));
  return kinds.at(word);
}

std::vector<ToldDraft> ReadDrafts(const std::filesystem::path& file) {
  std::vector<ToldDraft> drafts;
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);  // names of the columns
  while (std::getline(in, line)) {
    std::istringstream row(line);
    std::string kind, key, at, value;
    std::getline(row, kind, '\t');
    std::getline(row, key, '\t');
    std::getline(row, at, '\t');
    std::getline(row, value, '\t');
    drafts.push_back({KindOf(kind), key, std::stod(at), value});
  }
  return drafts;
}

ToldCase Read(const std::filesystem::path& truth_file) {
  ToldCase told;
  told.name = truth_file.stem();
  std::ifstream truth(truth_file);
  std::string line;
  std::getline(truth, line);
  REQUIRE(line.starts_with("# "));
  CaseRecord record;
  record.step_list = line.substr(2);
  told.list = *LoadStepList(record, "/nowhere", places::kAssets);
  std::getline(truth, line);  // names of the columns
  while (std::getline(truth, line)) {
    std::istringstream row(line);
    std::string step;
    double start = 0, end = 0;
    row >> step >> start >> end;
    const StepKind* kind = told.list.Find(step);
    INFO(told.name << ": " << line);
    REQUIRE(kind);
    told.truth.push_back({static_cast<int>(kind - told.list.steps.data()),
                          {std::llround(start * 1000), std::llround(end * 1000)}});
  }
  for (const char* ending : {".txt", ".vtt", ".srt"}) {
    std::filesystem::path words = truth_file;
    words.replace_extension(ending);
    if (!std::filesystem::exists(words)) continue;
    std::ifstream in(words);
    told.text = *ReadTimedText(std::string(std::istreambuf_iterator<char>(in), {}));
  }
  REQUIRE(!told.text.cues.empty());
  std::filesystem::path drafts = truth_file;
  told.drafts = ReadDrafts(drafts.replace_extension(".drafts"));
  return told;
}

}  // namespace

std::vector<ToldCase> ToldCases(const std::string& prefix) {
  std::set<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(places::kTestData) + "/narration"))
    if (entry.path().extension() == ".tsv" && entry.path().filename().string().starts_with(prefix))
      files.insert(entry.path());
  std::vector<ToldCase> told;
  for (const auto& file : files) told.push_back(Read(file));
  return told;
}

const std::vector<NarrationRules>& ShippedRules() {
  static const std::vector<NarrationRules> rules = [] {
    auto loaded = LoadAllNarrationRules(std::string(places::kAssets) + "/narration");
    INFO((loaded.ok() ? "" : loaded.error().message));
    REQUIRE(loaded.ok());
    return std::move(*loaded);
  }();
  return rules;
}

const NarrationRules& RulesFor(const ToldCase& told) {
  std::string words;
  for (const Cue& cue : told.text.cues) words += cue.text + " ";
  return RulesForText(ShippedRules(), words);
}

}  // namespace afterscope
