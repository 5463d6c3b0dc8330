#version 330 core
// A soft shadow under the wall and a floor that fades into the background. Carries no temperature.

in vec2 at_m;

uniform vec2 foot_from_m;  // the wall's footprint, x and z
uniform vec2 foot_to_m;
uniform float wall_height_m;
uniform vec3 background;

out vec4 drawn;

// Spreads the steps of eight bits, which would show as bands on a dark floor.
float grain() { return fract(sin(dot(gl_FragCoord.xy, vec2(12.9898, 78.233))) * 43758.5453) - 0.5; }

void main() {
  vec2 middle = 0.5 * (foot_from_m + foot_to_m);
  vec2 beside = max(abs(at_m - middle) - 0.5 * (foot_to_m - foot_from_m), vec2(0.0));
  float away_m = length(beside);
  float fade = exp(-2.2 * pow(away_m / wall_height_m, 2.0));
  float shadow = 0.62 * exp(-away_m / (0.045 * wall_height_m)) + 0.30 * exp(-away_m / (0.22 * wall_height_m));
  float bright = dot(background, vec3(0.299, 0.587, 0.114));
  vec3 lit = background + (bright < 0.5 ? 0.050 : -0.060) * fade;
  drawn = vec4(lit * (1.0 - min(shadow, 0.85) * (bright < 0.5 ? 1.0 : 0.45)) + grain() / 255.0, 1.0);
}
