// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/html/html_text.hpp"
#include "annotate/report/report_model.hpp"

#include <set>
#include <string>
#include <vector>

namespace afterscope {

// A page being written. `out` holds markup; only what went through Escaped may come from a text.
struct HtmlPage {
  const ReportModel& model;
  std::string out;
  std::set<std::string> places;  // ids that the page has, so that links lead somewhere

  const std::string& Text(const std::string& key) const { return model.words.Text(key); }
  // <tag class="...">text</tag>
  void Element(const std::string& tag, const std::string& css_class, const std::string& text);
  void OpenSection(const std::string& key);
  void CloseSection() { out += "</section>\n"; }
  // A frame as small text that leads to its picture, where the page has one.
  std::string FrameLink(const std::vector<ReportFrame>& frames, std::size_t most = 2) const;
  // id="..." for the first picture or moment of a frame, else nothing.
  std::string PlaceAttribute(FrameRef frame);
  void Findings(const std::vector<ReportFinding>& findings, bool with_notes);
  void PictureFigure(const ReportPicture& picture, int width_px, const std::string& css_class);
};

// The sections of the page in the order of the report.
void WriteHeading(HtmlPage& page);
void WriteWords(HtmlPage& page);
void WriteStrip(HtmlPage& page);
void WriteKeyFindings(HtmlPage& page);
void WriteNotReviewed(HtmlPage& page);
void WriteSteps(HtmlPage& page);
void WriteRhexis(HtmlPage& page);
void WriteTrails(HtmlPage& page);
void WriteEyeOverTime(HtmlPage& page);
void WriteOtherFindings(HtmlPage& page);
void WriteMoments(HtmlPage& page);
void WriteSettings(HtmlPage& page);
void WriteChecks(HtmlPage& page);
void WriteScores(HtmlPage& page);
void WriteMethod(HtmlPage& page);
void WriteCautions(HtmlPage& page);

// Which frames will have a place on the page.
std::set<std::string> PlacesOf(const ReportModel& model);

}  // namespace afterscope
