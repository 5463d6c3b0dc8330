#version 330 core
// A soft shadow under the wall and a floor that fades into the background. Carries no temperature.

in vec2 at_m;

uniform vec2 foot_from_m;  // the wall's footprint, x and z
uniform vec2 foot_to_m;
uniform float wall_height_m;
uniform vec3 background;

out vec4 drawn;

// Spreads the steps of eight bits, which would show as bands on a dark floor.
// Jimenez (2014), interleaved gradient noise: no sine, which is dear in software.
float grain() { return fract(52.9829189 * fract(dot(gl_FragCoord.xy, vec2(0.06711056, 0.00583715)))) - 0.5; }

void main() {
  vec2 middle = 0.5 * (foot_from_m + foot_to_m);
  vec2 beside = max(abs(at_m - middle) - 0.5 * (foot_to_m - foot_from_m), vec2(0.0));
  float away_m = length(beside);
  // Quotients instead of exponentials, for the same reason.
  float far = max(1.0 - away_m / (1.25 * wall_height_m), 0.0);
  float fade = far * far * (3.0 - 2.0 * far);
  float near = away_m / wall_height_m;
  float shadow = (0.50 / (1.0 + 420.0 * near * near) + 0.35 / (1.0 + 28.0 * near * near)) * fade;
  float bright = dot(background, vec3(0.299, 0.587, 0.114));
  vec3 lit = background + (bright < 0.5 ? 0.050 : -0.060) * fade;
  drawn = vec4(lit * (1.0 - min(shadow, 0.85) * (bright < 0.5 ? 1.0 : 0.45)) + grain() / 255.0, 1.0);
}
