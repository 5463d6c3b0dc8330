// Hatching of a face (after field.glsl): lines of a constant width on the screen. Its numbers come with the vertices.

flat in vec4 lines;     // lines per metre in u and v, sway, sway per metre
flat in vec2 crossing;  // x: 0 one set of lines, 1 a mesh of two, -1 dots where they cross; y: strength

uniform float line_px;

// 1 in the middle of a line, at every whole number of `phase`; lines that come too close together fade.
float line_at(float phase) {
  float step_px = fwidth(phase);
  float away_px = abs(fract(phase - 0.5) - 0.5) / max(step_px, 1e-6);
  return clamp(0.5 * line_px + 0.5 - away_px, 0.0, 1.0) * clamp(1.6 - 5.0 * step_px, 0.0, 1.0);
}

// A wave of period 1 between -1 and 1, without a sine.
float wave(float x) {
  float t = abs(fract(x) - 0.5) * 4.0 - 1.0;
  return t * (1.5 - 0.5 * t * t);
}

float hatch(vec2 across_m) {
  float along_m = abs(lines.x) > abs(lines.y) ? across_m.y : across_m.x;
  float sway = lines.z * wave(along_m * lines.w);
  float one = line_at(across_m.x * lines.x + across_m.y * lines.y + sway);
  float other = line_at(across_m.y * lines.y - across_m.x * lines.x);
  float both = crossing.x > 0.0 ? max(one, other) : min(one, other);
  return crossing.y * (crossing.x == 0.0 ? one : both);
}
