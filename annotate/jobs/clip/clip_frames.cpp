// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_frames.hpp"

#include "annotate/jobs/clip/held_marks.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kHeadingSeconds = 4;
constexpr double kLastCaptionSeconds = 5;
constexpr double kAboveCaptions = 0.86;  // of the height: two lines of captions end below

SeenPart PartFor(const ClipView& view, const ShownPicture& shown, const ClipPlan& plan) {
  const SeenPart whole = WholeWithin(shown, plan.width, plan.height);
  SeenPart part{0, 0, whole.width / view.zoom, whole.height / view.zoom};
  // Along a side that the view does not fill, the picture stays in the middle.
  const auto placed = [](double centre, double seen, double all) {
    return seen >= all ? (all - seen) / 2 : std::clamp(centre * all - seen / 2, 0.0, all - seen);
  };
  part.x = placed(view.x, part.width, shown.Width());
  part.y = placed(view.y, part.height, shown.Height());
  return part;
}

OutFromSq PlaceFor(const SeenPart& part, const ShownPicture& shown, const ClipPlan& plan) {
  const double scale = plan.width / part.width;
  return PlacePicture(shown,
                      {-part.x * scale, -part.y * scale, shown.Width() * scale, shown.Height() * scale});
}

double LengthOf(const ClipSchedule& schedule, std::size_t part) {
  return schedule.Seconds(schedule.FrameCount(part));
}

double Brightness(double fade, double into, double length) {
  if (fade <= 0) return 1;
  return std::clamp(std::min(into, length - into) / std::min(fade, length / 2), 0.0, 1.0);
}

OverlayOptions OverlayFor(const ClipPart& part) {
  OverlayOptions options;
  options.outlines = options.best_circle = options.dial = options.overlap = part.outlines;
  options.rulers = options.notes = options.mm_bar = part.outlines;
  options.tips = options.trail = part.trail;
  options.covers = false;  // they are burnt into the picture
  return options;
}

// Where the millimetre bar stands: in the corner of what is seen of the picture, over the captions' lines.
ShownPicture::Spot BarCorner(const SeenPart& seen, bool at_the_edge) {
  return {std::max(0.0, seen.x), seen.y + seen.height * (at_the_edge ? 1.0 : kAboveCaptions)};
}

}  // namespace

std::string CaptionAt(const ClipCase& shown, double case_seconds) {
  const auto& captions = shown.review.captions;
  std::string text;
  for (std::size_t i = 0; i < captions.size(); ++i) {
    const double start = shown.clock.Seconds(captions[i].start);
    if (start > case_seconds) break;
    double end = start + kLastCaptionSeconds;
    if (captions[i].end)
      end = shown.clock.Seconds(*captions[i].end);
    else if (i + 1 < captions.size())
      end = shown.clock.Seconds(captions[i + 1].start);
    if (case_seconds < end) text = captions[i].text;
  }
  return text;
}

FrameWords FrameWordsAt(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                        const ClipCase& shown) {
  const ClipPart& part = plan.parts[instant.part];
  FrameWords words;
  if (part.kind == ClipPartKind::kTitle) {
    words.title = part.text;
    return words;
  }
  if (instant.into_part < std::min(kHeadingSeconds, LengthOf(schedule, instant.part)))
    words.heading = part.text;
  if (part.timer && part.kind == ClipPartKind::kStretch) {
    const auto tenths = static_cast<long>(instant.into_part * part.speed * 10 + 1e-6);
    words.timer = fmt::format("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10);
  }
  if (plan.burn_captions && part.captions) words.caption = CaptionAt(shown, instant.case_seconds);
  return words;
}

void DrawClipFrame(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                   const ClipCase& shown, const Picture& picture, YuvFrame& frame) {
  const ClipPart& part = plan.parts[instant.part];
  const auto& captions = shown.review.captions;
  const double length = LengthOf(schedule, instant.part);
  ShapeList shapes;
  OutFromSq place;
  if (picture.empty()) {
    Fade(0, frame);
  } else {
    const ShownPicture size = ShownPicture::Of(picture);
    const SeenPart seen =
        PartFor(ViewBetween(part.view, part.view_at_end, Eased(instant.into_part / length)), size, plan);
    DrawPicture(Covered(picture, CoversOf(shown.review, picture.frame.recording)), seen, frame);
    place = PlaceFor(seen, size, plan);
    if (part.outlines || part.trail) {
      OverlayOptions overlay = OverlayFor(part);
      overlay.mm_bar_corner = BarCorner(seen, !plan.burn_captions || !part.captions || captions.empty());
      shapes = BuildShapes(shown.record, HeldMarks(shown.record, shown.review, picture.frame), picture.frame,
                           overlay);
    }
  }
  const auto layer =
      PaintFrameLayer(plan.width, plan.height, shapes, place, FrameWordsAt(plan, schedule, instant, shown));
  if (!layer.empty()) BlendOver(layer, frame);
  if (const double brightness = Brightness(part.fade_seconds, instant.into_part, length); brightness < 1)
    Fade(brightness, frame);
}

}  // namespace afterscope
