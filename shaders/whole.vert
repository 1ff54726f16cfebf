#version 330 core
// SPDX-License-Identifier: Apache-2.0
// One triangle over the whole target, for shaders that compute a value for each of its places.

void main() {
  vec2 corner = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2);
  gl_Position = vec4(2.0 * corner - 1.0, 0.0, 1.0);
}
