#version 330 core
// A face of the wall, flat on the screen.

layout(location = 0) in vec2 corner;  // 0..1

uniform vec4 frame;  // of the face in the view: left, bottom, width, height, as shares of the view

out vec2 on_face;  // 0..1 within the face

void main() {
  on_face = corner;
  gl_Position = vec4((frame.xy + corner * frame.zw) * 2.0 - 1.0, 0.0, 1.0);
}
