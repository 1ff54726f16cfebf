// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/picture_controls.hpp"

#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <array>
#include <string>

namespace afterscope {
namespace {

constexpr float kWidth = 330;

struct Slider {
  const char* words;
  const char* more;  // actions of the key map
  const char* less;
  double* value;
  float low, high;
  const char* format;
  float factor = 1;  // of what is shown against what is kept
};

void DrawKeys(const Scene& scene, const char* more, const char* less) {
  const Look& look = scene.look;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  float x = at.x;
  for (const char* action : {less, more}) {
    const std::string key = scene.keys.KeyFor(action);
    if (!key.empty())
      x += DrawKey(look, ImGui::GetWindowDrawList(), {x, at.y - look.Px(1)}, key) + look.Px(4);
  }
  ImGui::Dummy({std::max(1.0F, x - at.x), look.Px(20)});
}

void DrawSlider(const Scene& scene, const Slider& slider) {
  const Look& look = scene.look;
  Say(look, slider.words, look.colours.text, look.fonts.small);
  ImGui::SameLine();
  DrawKeys(scene, slider.more, slider.less);
  ImGui::SetNextItemWidth(-1);
  auto shown = static_cast<float>(*slider.value) * slider.factor;
  const std::string id = std::string("##") + slider.words;
  if (ImGui::SliderFloat(id.c_str(), &shown, slider.low * slider.factor, slider.high * slider.factor,
                         slider.format, ImGuiSliderFlags_NoInput))
    *slider.value = static_cast<double>(shown / slider.factor);
}

void DrawFields(PictureLook& picture, const Scene& scene) {
  constexpr std::array<std::pair<const char*, Deinterlacing>, 3> kWays{
      {{"as recorded", Deinterlacing::kAsRecorded},
       {"always", Deinterlacing::kAlways},
       {"never", Deinterlacing::kNever}}};
  const Look& look = scene.look;
  Say(look, "Deinterlacing", look.colours.text, look.fonts.small);
  ImGui::SameLine();
  DrawKeys(scene, "deinterlace", "");
  for (const auto& [word, way] : kWays) {
    if (way != Deinterlacing::kAsRecorded) ImGui::SameLine();
    if (WordButton(look, word, picture.clarity.deinterlacing == way)) picture.clarity.deinterlacing = way;
  }
}

}  // namespace

void DrawPictureControls(PictureLook& picture, const Scene& scene, const ScreenRect& area) {
  if (!picture.panel) return;
  const Look& look = scene.look;
  const float width = std::min(look.Px(kWidth), area.Width() - look.Px(24));
  ImGui::SetNextWindowPos({area.right - look.Px(12), area.top + look.Px(12)}, 0, {1, 0});
  ImGui::SetNextWindowSize({width, 0});
  ImGui::Begin("picture controls", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_AlwaysAutoResize);
  Clarity& c = picture.clarity;
  DrawSlider(scene, {"Exposure", "brighter", "darker", &c.exposure_stops, -3, 3, "%+.2f stops"});
  DrawSlider(scene, {"Contrast", "more contrast", "less contrast", &c.contrast, 0.5F, 2, "%.0f %%", 100});
  DrawSlider(scene, {"Local contrast", "more local contrast", "less local contrast", &c.local_contrast, 0, 2,
                     "%.0f %%", 100});
  DrawFields(picture, scene);
  ImGui::Dummy({0, look.Px(4)});
  ButtonRow row(look);
  const auto action = [&](const char* words, const char* name, bool chosen) {
    if (row.Add(words, scene.keys.KeyFor(name), chosen)) scene.wishes.actions.emplace_back(name);
  };
  action("Untouched", "untouched picture", picture.untouched);
  action("As recorded", "picture as recorded", false);
  action("Magnifier", "magnifier", picture.magnifier);
  SayQuietly(look, "For the eye only: nothing is measured from the changed picture.");
  ImGui::End();
}

}  // namespace afterscope
