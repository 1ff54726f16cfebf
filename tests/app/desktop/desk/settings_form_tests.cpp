// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/settings_form.hpp"
#include "tests/support/places.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

SettingsForm Form() {
  auto form = LoadSettingsForm(std::string(places::kAssets) + "/settings.json");
  REQUIRE(form);
  return *form;
}

const WordList::Item& Number(const SettingsForm& form, const std::string& key) {
  for (const WordList::Item& item : form.numbers)
    if (item.key == key) return item;
  throw std::runtime_error("no such number");
}

}  // namespace

TEST_CASE("The settings have the fields, units and ranges of the trade", "[settings]") {
  // Ranges: common practice, no source.
  const SettingsForm form = Form();
  CHECK(form.choices.size() == 2);
  CHECK(Number(form, "power_pct").high == 100);
  CHECK(Number(form, "vacuum_mmhg").high == 700);
  CHECK(Number(form, "flow_ml_min").high == 60);
  CHECK(Number(form, "bottle_cm").low == 20);
  CHECK(Number(form, "pressure_mmhg").high == 110);
  CHECK(form.totals.size() == 3);
}

TEST_CASE("Numbers behind a known preset are its settings, in the order of the form", "[settings]") {
  const SettingsForm form = Form();
  const TypedPreset sculpt = PresetAndNumbers(form, "sc 60 90");
  CHECK(sculpt.preset == "sculpt");
  CHECK(sculpt.numbers == std::map<std::string, std::string>{{"power_pct", "60"}, {"vacuum_mmhg", "90"}});
  CHECK(PresetAndNumbers(form, "pol 12").numbers ==
        std::map<std::string, std::string>{{"vacuum_mmhg", "12"}});
  CHECK(PresetAndNumbers(form, "sc 1 2 3 4 ").numbers.size() == 3);
  CHECK(PresetAndNumbers(form, "sc").numbers.empty());
  const TypedPreset own = PresetAndNumbers(form, "own 2");
  CHECK(own.numbers.empty());
  CHECK(own.preset == CompletedWords("own 2", form.Presets()));
  CHECK(PresetAndNumbers(form, "").preset.empty());
  CHECK(PresetAndNumbers(form, "60").numbers.empty());
}

TEST_CASE("A number outside what is usual for the preset is asked about, never refused", "[settings]") {
  const SettingsForm form = Form();
  const WordList::Item& vacuum = Number(form, "vacuum_mmhg");
  CHECK(OddSetting(form, "sculpt", vacuum, "90").empty());
  CHECK(OddSetting(form, "sculpt", vacuum, "300").find("sculpt") != std::string::npos);
  CHECK(OddSetting(form, "fragments", vacuum, "300").empty());
  CHECK_FALSE(OddSetting(form, "fragments", vacuum, "900").empty());
  CHECK(OddSetting(form, "", vacuum, "300").empty());
  CHECK_FALSE(OddSetting(form, "", vacuum, "much").empty());
  CHECK(OddSetting(form, "sculpt", vacuum, "").empty());
}

TEST_CASE("Beginnings of words are completed in the order of the list", "[settings]") {
  const std::vector<std::string> words{"longitudinal", "torsional", "continuous", "burst"};
  CHECK(CompletedWords("bu tor", words) == "torsional, burst");
  CHECK(CompletedWords("torsional, burst", words) == "torsional, burst");
  CHECK(CompletedWords("own", words) == "own");
  CHECK(CompletedWords("", words).empty());
}

TEST_CASE("A preset that was noted before is known again, the latest first", "[settings]") {
  Review review;
  for (const char* power : {"40", "60"}) {
    Moment moment;
    moment.kind = MomentKind::kSettings;
    moment.key = "sculpt";
    moment.fields = {{"power_pct", power}, {"mode", "torsional"}};
    review.moments.push_back(moment);
  }
  CHECK(SettingsOfPreset(review, "sculpt").at("power_pct") == "60");
  CHECK(SettingsOfPreset(review, "polish").empty());
  CHECK(SettingsOfPreset(review, "").empty());
  CHECK(SettingsWords(Form(), "sculpt", review.moments[1].fields) == "sculpt, torsional, Power 60 %");
}

}  // namespace afterscope
