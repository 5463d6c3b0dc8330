// The cable in its own temperature (after field.glsl): cores in the conductor's, sheath in the sheath's.

in vec3 at_m;
in vec3 normal;
in float along_m;
flat in float kind;

uniform sampler2D line_k;  // one row: r conductor, g sheath
uniform float length_m;
uniform vec3 eye_m;
uniform float ghost;  // 1: only a trace of it, dashed
uniform float dash_m;
uniform float live_to_m;  // beyond it no current flows

out vec4 drawn;

void main() {
  vec2 t_k = textureLod(line_k, vec2(along_m / length_m, 0.5), 0.0).rg;
  float own_k = kind < 0.5 ? t_k.g : (kind < 1.5 ? t_k.r : 0.5 * (t_k.r + t_k.g));
  vec3 colour = colour_of(own_k);
  if (ghost > 0.5) {
    float dash = abs(fract(along_m / dash_m) - 0.5) * 2.0;
    float on = smoothstep(0.30, 0.40, dash);
    drawn = vec4(mix(colour_of(t_k.r), vec3(1.0), 0.25), mix(0.10, 0.62, on));
    return;
  }
  vec3 toward_eye = normalize(eye_m - at_m);
  float facing = max(dot(normalize(normal), toward_eye), 0.0);
  // Dashed where no current flows: its temperature stays to be seen between the dashes.
  float dead = step(live_to_m, along_m) * step(0.5, fract(along_m / dash_m));
  colour = mix(colour, vec3(0.13), 0.9 * dead);
  float shade = kind < 0.5 ? mix(0.86, 0.95, facing) : mix(0.80, 1.0, smoothstep(0.0, 0.75, facing));
  drawn = vec4(colour * shade, 1.0);
}
