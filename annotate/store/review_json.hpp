// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

namespace afterscope {

// The members of FORMAT.md, section Review; every known member is written.
Json JsonFrom(const StepVisit& visit);
Json JsonFrom(const Moment& moment);
Json JsonFrom(const Mark& mark);
Json JsonFrom(const Trail& trail);  // with its points
Json JsonFrom(const ScaleDef& scale);
Json JsonFrom(const Score& score);
Json JsonFrom(const Assessment& assessment);
Json JsonFrom(const Caption& caption);
Json JsonFrom(const Draft& draft);
Json JsonFrom(const Signature& signature);
Json JsonFrom(const std::vector<TrailPoint>& points);
Json JsonFrom(const Review& review);  // with the points of its trails

// These read one item; the first problem goes to `problem` in words that follow "it has".
void ReadItem(const Json& json, StepVisit& visit, std::string& problem);
void ReadItem(const Json& json, Moment& moment, std::string& problem);
void ReadItem(const Json& json, Mark& mark, std::string& problem);
void ReadItem(const Json& json, Trail& trail, std::string& problem);
void ReadItem(const Json& json, ScaleDef& scale, std::string& problem);
void ReadItem(const Json& json, Score& score, std::string& problem);
void ReadItem(const Json& json, Assessment& assessment, std::string& problem);
void ReadItem(const Json& json, Caption& caption, std::string& problem);
void ReadItem(const Json& json, Draft& draft, std::string& problem);
void ReadItem(const Json& json, Signature& signature, std::string& problem);
void ReadItem(const Json& json, std::vector<TrailPoint>& points, std::string& problem);

// Refuses wrong types and what edits would refuse; items are put in order.
Result<Review> ReviewFrom(const Json& json, const std::string& what);

}  // namespace afterscope
