// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_frames.hpp"

#include "annotate/jobs/clip/held_marks.hpp"
#include "annotate/overlay/build_shapes.hpp"
#include "annotate/overlay/parts.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kHeadingSeconds = 4;
constexpr double kLastCaptionSeconds = 5;
constexpr double kLeastWordsPt = 8;      // smaller words on a page can't be read in a video
constexpr double kLeastNotePt = 16;      // what is put there to be read is about as large as a heading
constexpr double kAboveCaptions = 0.86;  // of the height: two lines of captions end below

OutFromSq PlaceFor(const SeenPart& part, const ShownPicture& shown, const ClipPlan& plan) {
  const double scale = plan.width / part.width;
  return PlacePicture(shown,
                      {-part.x * scale, -part.y * scale, shown.Width() * scale, shown.Height() * scale});
}

OverlayOptions OverlayFor(const ClipPart& part) {
  OverlayOptions options;
  options.outlines = options.best_circle = options.overlap = part.outlines;
  options.dial = part.dial;
  options.rulers = options.notes = options.mm_bar = part.outlines;
  options.tips = options.trail = part.trail;
  options.covers = false;  // they are burnt into the picture
  return options;
}

std::string CaptionOfCase(const Review& review, const CaseClock& clock, double case_seconds) {
  const auto& captions = review.captions;
  std::string text;
  for (std::size_t i = 0; i < captions.size(); ++i) {
    const double start = clock.Seconds(captions[i].start);
    if (start > case_seconds) break;
    double end = start + kLastCaptionSeconds;
    if (captions[i].end)
      end = clock.Seconds(*captions[i].end);
    else if (i + 1 < captions.size())
      end = clock.Seconds(captions[i + 1].start);
    if (case_seconds < end) text = captions[i].text;
  }
  return text;
}

// The part's own arrows and words, by the painters of the case's.
void AddNotes(const ClipPart& part, double into_part, const ClipCase& shown, FrameRef at,
              const ShownPicture& size, ShapeList& shapes) {
  const FrameView view{shown.record, shown.review, at, size.aspect};
  for (const ClipNote& note : part.notes) {
    if (into_part < note.start || into_part >= note.end) continue;
    Mark mark;
    mark.text = note.text;
    const auto place = [&](double x, double y) { return size.PxAt({x * size.Width(), y * size.Height()}); };
    mark.points = {place(note.from_x, note.from_y), place(note.to_x, note.to_y)};
    const bool arrow = note.from_x != note.to_x || note.from_y != note.to_y;
    mark.kind = arrow ? MarkKind::kArrow : MarkKind::kLabel;
    AddNote(view, mark, shapes);
  }
}

void EnlargeSmallWords(ShapeList& shapes) {
  for (Shape& shape : shapes)
    if (auto* const text = std::get_if<TextShape>(&shape)) {
      const bool note = text->role == Role::kArrow || text->role == Role::kLabel;
      text->size_pt = std::max(text->size_pt, note ? kLeastNotePt : kLeastWordsPt);
    }
}

std::string FindingsOn(const ClipCase& shown, const Review& held, FrameRef at) {
  for (const Mark& mark : held.marks)
    if (mark.at == at && mark.kind == MarkKind::kRhexis)
      if (const auto lines = shown.findings.find(mark.id); lines != shown.findings.end())
        return lines->second;
  return {};
}

// Where the millimetre bar stands: in the corner of what is seen of the picture, over the captions' lines.
ShownPicture::Spot BarCorner(const SeenPart& seen, bool at_the_edge) {
  return {std::max(0.0, seen.x), seen.y + seen.height * (at_the_edge ? 1.0 : kAboveCaptions)};
}

}  // namespace

SeenPart SeenOf(const ClipView& view, const ShownPicture& shown, int frame_width, int frame_height) {
  const SeenPart whole = WholeWithin(shown, frame_width, frame_height);
  SeenPart part{0, 0, whole.width / view.zoom, whole.height / view.zoom};
  // Along a side that the view does not fill, the picture stays in the middle.
  const auto placed = [](double centre, double seen, double all) {
    return seen >= all ? (all - seen) / 2 : std::clamp(centre * all - seen / 2, 0.0, all - seen);
  };
  part.x = placed(view.x, part.width, shown.Width());
  part.y = placed(view.y, part.height, shown.Height());
  return part;
}

std::string CaptionAt(const ClipPart& part, double part_seconds, const ClipInstant& instant,
                      const ClipCase& shown) {
  if (!part.captions) return {};
  for (const VoicePiece& piece : VoiceOfPart(part, part_seconds, shown.takes, shown.clock)) {
    const double into = instant.into_part - piece.at;
    if (into < 0 || into >= piece.length) continue;
    if (std::string words = TakeWordsAt(shown.takes[piece.take], piece.from + into); !words.empty())
      return words;
  }
  return part.kind == ClipPartKind::kTitle ? std::string()
                                           : CaptionOfCase(shown.review, shown.clock, instant.case_seconds);
}

FrameWords FrameWordsAt(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                        const ClipCase& shown) {
  const ClipPart& part = plan.parts[instant.part];
  FrameWords words;
  if (plan.burn_captions) words.caption = CaptionAt(part, schedule.LengthOf(instant.part), instant, shown);
  if (part.kind == ClipPartKind::kTitle) {
    words.title = part.text;
    return words;
  }
  if (instant.into_part < std::min(kHeadingSeconds, schedule.LengthOf(instant.part)))
    words.heading = part.text;
  if (part.timer && part.kind == ClipPartKind::kStretch) {
    const auto tenths = static_cast<long>(instant.into_part * part.speed * 10 + 1e-6);
    words.timer = fmt::format("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10);
  }
  return words;
}

void DrawClipFrame(const ClipPlan& plan, const ClipSchedule& schedule, const ClipInstant& instant,
                   const ClipCase& shown, const Picture& picture, YuvFrame& frame) {
  const ClipPart& part = plan.parts[instant.part];
  const double length = schedule.LengthOf(instant.part);
  FrameWords words = FrameWordsAt(plan, schedule, instant, shown);
  ShapeList shapes;
  OutFromSq place;
  if (picture.empty()) {
    Fade(0, frame);
  } else {
    const ShownPicture size = ShownPicture::Of(picture);
    const SeenPart seen = SeenOf(ViewBetween(part.view, part.view_at_end, Eased(instant.into_part / length)),
                                 size, plan.width, plan.height);
    DrawPicture(Covered(picture, CoversOf(shown.review, picture.frame.recording)), seen, frame);
    place = PlaceFor(seen, size, plan);
    if (part.outlines || part.dial || part.trail || part.findings) {
      const Review held = HeldMarks(shown.record, shown.review, picture.frame);
      OverlayOptions overlay = OverlayFor(part);
      const bool captions = plan.burn_captions && part.captions &&
                            !(shown.review.captions.empty() && (shown.takes.empty() || !part.voice));
      overlay.mm_bar_corner = BarCorner(seen, !captions);
      shapes = BuildShapes(shown.record, held, picture.frame, overlay);
      if (part.findings) words.findings = FindingsOn(shown, held, picture.frame);
    }
    AddNotes(part, instant.into_part, shown, picture.frame, size, shapes);
    EnlargeSmallWords(shapes);
  }
  const auto layer = PaintFrameLayer(plan.width, plan.height, shapes, place, words);
  if (!layer.empty()) BlendOver(layer, frame);
  if (const double brightness = FadeShare(part.fade_seconds, instant.into_part, length); brightness < 1)
    Fade(brightness, frame);
}

}  // namespace afterscope
