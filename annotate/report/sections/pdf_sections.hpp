// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/furniture.hpp"

namespace afterscope {

// The sections of the PDF in the order of the report. Each leaves out what the model does not have.

// First page.
void SetHeading(PdfBook& book);
void SetWords(PdfBook& book);
void SetStrip(PdfBook& book);
void SetKeyFindings(PdfBook& book);
void SetNotReviewed(PdfBook& book);
// Detail.
void SetSteps(PdfBook& book);
void SetRhexis(PdfBook& book);
void SetTrails(PdfBook& book);
void SetEyeOverTime(PdfBook& book);
void SetOtherFindings(PdfBook& book);
void SetMoments(PdfBook& book);
void SetSettings(PdfBook& book);
void SetChecks(PdfBook& book);
void SetScores(PdfBook& book);
void SetMethod(PdfBook& book);
void SetCautions(PdfBook& book);

}  // namespace afterscope
