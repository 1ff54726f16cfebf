// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/eye_geometry.hpp"

#include <opencv2/core.hpp>

#include <vector>

// Painting on 8-bit pictures (BGR). Positions are in square pixels; (0, 0) is the centre of the top left
// pixel.
namespace afterscope::phantom {

using Bgr = cv::Vec3b;

// The part of a picture that is painted, and its place: pixel (0, 0) of `pixels` is pixel `origin` of the
// picture.
struct Patch {
  cv::Mat pixels;
  cv::Point origin;
};

// The patch of `picture` that holds a circle; empty pixels where it lies outside.
Patch PatchAround(cv::Mat& picture, PointSq centre, double radius_px);

// 0 to 255: how much of the patch lies inside of the curve as seen with that magnification; the edge is a
// ramp `soft_px` wide with its middle on the curve.
void CoverInside(const PolarShape& shape, const Placement& place, double magnification, double soft_px,
                 const Patch& patch, cv::Mat& cover);
// The same for a polygon in pixels, edge one pixel soft.
void CoverPolygon(const std::vector<PointSq>& polygon, const Patch& patch, cv::Mat& cover);
// A line of that width along the points.
void CoverLine(const std::vector<PointSq>& points, bool closed, double width_px, const Patch& patch,
               cv::Mat& cover);
// The same, but here stronger and there fainter, as an edge catches the light: `phase` says where.
void CoverUnevenLine(const std::vector<PointSq>& points, bool closed, double width_px, double phase,
                     const Patch& patch, cv::Mat& cover);

// pixels += (colour - pixels) * cover * opacity.
void PaintColour(const Bgr& colour, double opacity, const cv::Mat& cover, cv::Mat& pixels);
// pixels += (image - pixels) * cover * opacity.
void PaintImage(const cv::Mat& image, double opacity, const cv::Mat& cover, cv::Mat& pixels);
// A soft spot of light, added; radius is the standard deviation.
void AddGlow(const Bgr& colour, PointSq at, double radius_px, double strength, cv::Mat& picture);

// A texture whose pixel (0, 0) lies at (-half_mm, -half_mm) and which has px_per_mm pixels a millimetre.
struct Texture {
  cv::Mat pixels;
  double px_per_mm = 20;
  double half_mm = 10;
};
// The texture as seen, into the whole patch; outside of the texture `border`.
void PlaceTexture(const Texture& texture, const Placement& place, double magnification,
                  const cv::Scalar& border, Patch& patch);

// Smooth noise, mean 0 and standard deviation 1, CV_32F; features about `grain_px` wide.
cv::Mat SmoothNoise(cv::Size size, double grain_px, std::uint64_t seed);

}  // namespace afterscope::phantom
