// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/report_view.hpp"

#include "annotate/report/pdf_report.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr double kPixelsPerPoint = 2;
constexpr float kReadableWidth = 700;  // of a page that is shown whole
constexpr float kUsualWidth = 900;
constexpr float kScrolledByKey = 0.3F;

// The whole page where its letters can then be read, else as wide as they need.
float PageWidth(const Look& look, const ScreenRect& area, float aspect) {
  const float room = area.Width() - ImGui::GetStyle().ScrollbarSize - look.Px(24);
  const float whole = (area.Height() - look.Px(24)) * aspect;
  return std::min(room, whole >= look.Px(kReadableWidth) ? whole : look.Px(kUsualWidth));
}

PageMaker PagesOf(std::shared_ptr<const ReportModel> model) {
  return [model = std::move(model)](int page, double pixels_per_point) {
    return MakeReportPage(*model, {}, page, pixels_per_point);
  };
}

}  // namespace

void ReportView::Follow(const std::shared_ptr<const ReportModel>& report) {
  if (report == model_) return;
  model_ = report;
  open_ = false;
  if (model_) Show(PagesOf(model_));
}

void ReportView::Show(PageMaker maker) {
  maker_ = std::move(maker);
  open_ = true;
  pages_ = 0;
  shown_.reset();
  TurnTo(1);
}

void ReportView::TurnTo(int page) {
  const int to = pages_ > 0 ? std::clamp(page, 1, pages_) : 1;
  if (shown_ && to == page_) return;
  page_ = to;
  jobs_.Renew();
  jobs_.Start(
      "",
      [make = maker_, page = page_](const Progress&, const StopQuery&) {
        return make(page, kPixelsPerPoint);
      },
      [this](const Result<ReportPage>& made) {
        problem_ = made ? std::string() : made.error().message;
        if (!made) return;
        pages_ = made->pages;
        scroll_up_ = true;
        shown_.emplace(gl_);
        shown_->Upload({GL_RGB8, GL_RGB, GL_UNSIGNED_BYTE}, made->image.width, made->image.height, 0,
                       made->image.pixels.data());
      });
}

bool ReportView::Do(const std::string& action) {
  if (action == "read report" && model_) {
    Show(PagesOf(model_));
    return true;
  }
  if (!open_) return false;
  // What they show would lie under it.
  for (const char* other : {"play", "debrief", "clip preview", "sheet series"})
    if (action == other) open_ = false;
  if (action == "leave")
    open_ = false;
  else if (action == "next boundary" || action == "next frame")
    TurnTo(page_ + 1);
  else if (action == "previous boundary" || action == "previous frame")
    TurnTo(page_ - 1);
  else if (action == "first frame")
    TurnTo(1);
  else if (action == "last frame")
    TurnTo(pages_);
  else if (action == "slower")
    scroll_by_ = kScrolledByKey;
  else if (action == "faster")
    scroll_by_ = -kScrolledByKey;
  else
    return false;
  return true;
}

void ReportView::DrawPage(const Scene& scene) {
  const Look& look = scene.look;
  if (!problem_.empty()) return SayQuietly(look, "! " + problem_);
  if (!shown_) return SayQuietly(look, "Drawing the page …");
  const ImVec2 from = ImGui::GetWindowPos();
  const ScreenRect area{from.x, from.y, from.x + ImGui::GetWindowWidth(), from.y + ImGui::GetWindowHeight()};
  const float aspect = static_cast<float>(shown_->width()) / static_cast<float>(shown_->height());
  const float width = std::round(PageWidth(look, area, aspect));
  ImGui::SetCursorPosX(std::round(std::max(look.Px(6), (area.Width() - width) / 2)));
  ImGui::Image(reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(shown_->id())),
               {width, std::round(width / aspect)});
  if (std::exchange(scroll_up_, false)) ImGui::SetScrollY(0);
  if (const float by = std::exchange(scroll_by_, 0.0F); by != 0)
    ImGui::SetScrollY(ImGui::GetScrollY() + by * area.Height());
}

void ReportView::Draw(const Scene& scene, const ScreenRect& area) {
  if (!open_) return;
  ImGui::SetNextWindowPos({area.left, area.top});
  ImGui::SetNextWindowSize({area.Width(), area.Height()});
  ImGui::Begin("report", nullptr,
               ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                   ImGuiWindowFlags_NoSavedSettings);
  DrawPage(scene);
  ImGui::End();
}

std::vector<KeyHint> ReportView::Hints(const Scene& scene) const {
  std::vector<KeyHint> hints;
  const auto add = [&](const char* action, std::string words) {
    if (const std::string key = scene.keys.KeyFor(action); !key.empty())
      hints.push_back({key, std::move(words)});
  };
  add("next boundary", pages_ > 0 ? fmt::format("next page ({} of {})", page_, pages_) : "next page");
  add("previous boundary", "page before");
  add("slower", "down");
  add("faster", "up");
  add("leave", "back to the recording");
  add("key list", "all keys");
  return hints;
}

}  // namespace afterscope
