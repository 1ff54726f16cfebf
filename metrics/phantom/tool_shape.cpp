// SPDX-License-Identifier: Apache-2.0
#include "metrics/phantom/tool_shape.hpp"

namespace afterscope::phantom {
namespace {

constexpr double kFar = 45;  // beyond the picture

ToolShape Cannula() {
  ToolShape shape;
  shape.stations = {{0, 0.40, 150, 156, 150, 1.0, 1},
                    {7, 0.42, 150, 156, 150, 1.0, 1},
                    {12, 0.75, 120, 128, 118, 1.0, 1},
                    {16, 1.5, 96, 106, 92, 0.9, 1},
                    {kFar, 2.6, 70, 80, 64, 0.8, 1}};
  shape.round_end = true;
  return shape;
}

ToolShape ForcepsBranch() {
  ToolShape shape;
  shape.stations = {{0, 0.26, 130, 138, 134, 1.0, 1},
                    {0.5, 0.34, 126, 134, 130, 1.0, 1},
                    {8, 0.5, 120, 128, 122, 1.0, 1},
                    {12, 0.9, 76, 84, 72, 0.9, 1},
                    {kFar, 1.9, 44, 52, 40, 0.7, 1}};
  shape.round_end = true;
  return shape;
}

ToolShape Handpiece() {
  ToolShape shape;
  shape.stations = {{0, 0.95, 140, 146, 138, 1.0, 1},     {1.4, 1.0, 140, 146, 138, 1.0, 1},
                    {1.5, 1.5, 176, 178, 160, 0.5, 0.55}, {5.5, 1.75, 170, 174, 152, 0.6, 0.7},
                    {9, 2.0, 116, 128, 104, 0.8, 1},      {16, 2.6, 72, 86, 64, 0.9, 1},
                    {kFar, 4.6, 56, 66, 50, 0.8, 1}};
  shape.open_end = true;
  return shape;
}

ToolShape Aspiration() {
  ToolShape shape;
  shape.stations = {{0, 0.75, 148, 154, 148, 1.0, 1},     {1.9, 0.85, 148, 154, 148, 1.0, 1},
                    {2.0, 1.45, 172, 176, 160, 0.5, 0.6}, {6, 1.65, 166, 172, 152, 0.6, 0.75},
                    {10, 1.9, 110, 124, 104, 0.8, 1},     {kFar, 3.8, 60, 72, 56, 0.8, 1}};
  shape.round_end = true;
  shape.port_mm = 0.5;
  return shape;
}

ToolShape SecondInstrument() {
  ToolShape shape;
  shape.stations = {{0, 0.22, 140, 150, 140, 1.0, 1},
                    {0.3, 0.36, 150, 158, 146, 1.0, 1},
                    {6, 0.45, 150, 158, 140, 1.0, 1},
                    {10, 0.8, 92, 102, 86, 1.0, 1},
                    {kFar, 2.2, 56, 66, 52, 0.8, 1}};
  shape.round_end = true;
  return shape;
}

ToolShape Injector() {
  ToolShape shape;
  shape.stations = {{0, 1.5, 190, 190, 178, 0.35, 0.5},
                    {2.2, 2.1, 186, 180, 150, 0.4, 0.6},
                    {5, 2.6, 186, 176, 96, 0.6, 0.75},
                    {9, 4.6, 150, 160, 132, 0.6, 0.75},
                    {kFar, 7.0, 112, 120, 100, 0.6, 0.9}};
  shape.open_end = true;
  return shape;
}

}  // namespace

const ToolShape& ShapeOf(Tool tool) {
  static const ToolShape cannula = Cannula();
  static const ToolShape branch = ForcepsBranch();
  static const ToolShape handpiece = Handpiece();
  static const ToolShape aspiration = Aspiration();
  static const ToolShape second = SecondInstrument();
  static const ToolShape injector = Injector();
  static const ToolShape side_port = BladeOf(Tool::kSidePortBlade, 1.0);
  static const ToolShape keratome = BladeOf(Tool::kKeratome, 2.4);
  switch (tool) {
    case Tool::kSidePortBlade:
      return side_port;
    case Tool::kKeratome:
      return keratome;
    case Tool::kCannula:
      return cannula;
    case Tool::kForceps:
      return branch;
    case Tool::kHandpiece:
      return handpiece;
    case Tool::kAspiration:
      return aspiration;
    case Tool::kSecondInstrument:
      return second;
    case Tool::kInjector:
      return injector;
  }
  return cannula;
}

ToolShape BladeOf(Tool tool, double width_mm) {
  const double w = width_mm;
  const double length = tool == Tool::kKeratome ? 0.8 * w : 1.6 * w;
  ToolShape shape;
  shape.stations = {
      {0, 0.03, 196, 204, 202, 0.35, 1},          {length, w, 188, 196, 192, 0.35, 1},
      {length + 1.4, w, 176, 184, 180, 0.35, 1},  {length + 2.6, 0.45 * w, 140, 148, 142, 0.8, 1},
      {length + 8, 0.5 * w, 96, 106, 92, 1.0, 1}, {kFar, 2.6, 62, 72, 58, 0.8, 1}};
  return shape;
}

}  // namespace afterscope::phantom
