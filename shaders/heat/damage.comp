// What a stretch of time does to the voxels that are hot enough: sim/damage/wall_damage.cpp, step_cell, and
// sim/damage/kinetics.cpp, advance. Every invocation takes several cells, so that the sums have one order.

const int group = 128;
layout(local_size_x = 128) in;

struct Cell {
  int voxel;
  uint material, state, level;
  float mass_kg, collapsed, sound_kg;
  float extent[damage_processes];
  float air_j_k;  // heat capacity of the air in it, once it is a void
};
struct Process {
  int kind;  // 0: none, 1: Arrhenius, 2: a band of temperatures
  int rates_from, rates;
  float from_k, to_k, lost, heat_j_kg, smoke_kg_kg;
  int chars;
};
struct Rules {
  Process processes[damage_processes];
  int collapses, collapse_from, collapse_rates;
  float collapse_from_k, collapse_heat_j_kg;
  float softens_k, ignites_k, quiet_below_k, specific_j_kgk;
  int levels, first_level_code, changed_by;
};
layout(std430, binding = 0) buffer Rise { float rise_k[]; };
layout(std430, binding = 1) buffer Capacity { float capacity[]; };
layout(std430, binding = 2) buffer Codes { uint codes[]; };
layout(std430, binding = 3) buffer Cells { Cell cells[]; };
layout(std430, binding = 4) readonly buffer AllRules { Rules rules_of[]; };
layout(std430, binding = 5) readonly buffer Rates { float rates_1_s[]; };  // then what has been told
layout(std430, binding = 6) readonly buffer LastChange { float last_change[]; };  // K, by the step just taken
layout(std430, binding = 7) buffer Result { uint result[]; };

uniform int told_from;  // in rates_1_s
uniform int count;
uniform int result_sums;  // eight words a group: heat taken up, gas, smoke, heat that went with the gas, as doubles
uniform int result_news;  // how many cells have something to tell, are as hot as their material ignites, have collapsed

shared dvec4 sums[group];

float rate_1_s(int from, int entries, float from_k, float t_k) {
  if (!(t_k >= from_k) || entries == 0) return 0.0;
  float place = (t_k - from_k) / rate_spacing_k;
  int n = int(place);
  if (n + 1 >= entries) return rates_1_s[from + entries - 1];
  return mix(rates_1_s[from + n], rates_1_s[from + n + 1], place - float(n));
}

/// 1 - exp(-x), without losing what is small.
float reacted(float x) {
  return x < 0.05 ? x * (1.0 - x * (0.5 - x * (1.0 / 6.0 - x / 24.0))) : 1.0 - exp(-x);
}

double share_lost(Cell cell, Rules rules) {
  double lost = 0.0LF;
  for (int p = 0; p < damage_processes; ++p)
    if (rules.processes[p].kind != 0) lost += double(rules.processes[p].lost) * double(cell.extent[p]);
  return lost;
}

double capacity_j_k(Cell cell, Rules rules) {
  double present_kg = double(cell.mass_kg) * (1.0LF - share_lost(cell, rules));
  return present_kg * double(rules.specific_j_kgk) + double(cell.air_j_k);
}

/// One process for dt_s; adds to change (heat, gas, smoke) and cools.
void advance(inout Cell cell, int p, Process process, double before_j_k, inout double t_k, inout dvec4 change) {
  double full_j = double(cell.mass_kg) * double(process.heat_j_kg), before = double(cell.extent[p]);
  if (process.kind == 0 || before >= 1.0LF || t_k < double(process.from_k)) return;
  double after = before;
  if (process.kind == 1) {
    float rate = rate_1_s(process.rates_from, process.rates, process.from_k, float(t_k));
    after += (1.0LF - before) * double(reacted(rate * dt_s));
  } else {
    double width_k = double(process.to_k) - double(process.from_k), slope_j_k = full_j / width_k;
    double reached_k =
        (before_j_k * t_k + full_j * before + slope_j_k * double(process.from_k)) / (before_j_k + slope_j_k);
    after = clamp((reached_k - double(process.from_k)) / width_k, before, 1.0LF);
  }
  cell.extent[p] = float(after);
  double done = double(cell.extent[p]) - before;  // as it was rounded, so that the books balance
  double lost_kg = double(cell.mass_kg) * double(process.lost) * done;
  change += dvec4(full_j * done, lost_kg, lost_kg * double(process.smoke_kg_kg), 0.0LF);
  t_k -= full_j * done / before_j_k;
}

void mark(inout Cell cell, Rules rules, float t_k) {
  if (rules.collapses != 0) {
    if (cell.state == voxel_sound && t_k >= rules.softens_k) cell.state = voxel_softened;
    return;
  }
  float changed = rules.changed_by >= 0 ? cell.extent[rules.changed_by] : 0.0;
  cell.level = uint(changed * float(rules.levels) + 0.5);
  bool chars = false;
  for (int p = 0; p < damage_processes; ++p)
    if (rules.processes[p].kind != 0 && rules.processes[p].chars != 0 && cell.extent[p] >= state_changes_at)
      chars = true;
  if (chars) cell.state = voxel_charred;
  else if (cell.extent[0] >= state_changes_at && rules.processes[0].kind == 2) cell.state = voxel_dried;
}

/// Bits by sim::Happening of what has been told of a material.
uint told_of(uint material) {
  return uint(rates_1_s[told_from + int(material)]);
}

/// Whether a cell may have something to tell that its material has not been told for.
bool has_news(Cell cell, Rules rules, float t_k) {
  uint told = told_of(cell.material);
  return (t_k >= rules.softens_k && (told & told_softening) == 0u) ||
         (cell.state == voxel_charred && (told & told_charring) == 0u);
}

dvec4 step_cell(int c) {
  Cell cell = cells[c];
  Rules rules = rules_of[cell.material];
  int v = cell.voxel;
  double t_k = double(datum_k) + double(rise_k[v]);
  if (t_k < double(rules.quiet_below_k) || cell.mass_kg <= 0.0) return dvec4(0.0LF);
  if (has_news(cell, rules, float(t_k))) atomicAdd(result[result_news], 1u);
  if (float(t_k) >= rules.ignites_k && (told_of(cell.material) & told_ignition_risk) == 0u)
    atomicAdd(result[result_news + 1], 1u);
  double before_j_k = capacity[v];
  dvec4 change = dvec4(0.0LF);
  if (rules.collapses != 0 && cell.state != voxel_gone && cell.collapsed < 1.0) {
    float half_way_k = float(t_k - 0.5LF * double(last_change[v]));  // of the step
    float rate = rate_1_s(rules.collapse_from, rules.collapse_rates, rules.collapse_from_k, half_way_k);
    float more = (1.0 - cell.collapsed) * reacted(rate * dt_s);
    double heat_j = double(rules.collapse_heat_j_kg) * double(cell.sound_kg) * double(more);
    cell.collapsed += more;
    change.x += heat_j;
    t_k -= heat_j / before_j_k;
  }
  for (int p = 0; p < damage_processes; ++p) advance(cell, p, rules.processes[p], before_j_k, t_k, change);
  rise_k[v] = float(t_k - double(datum_k));
  if (change.y > 0.0LF) {
    float now_j_k = float(capacity_j_k(cell, rules));
    capacity[v] = now_j_k;
    change.w = (before_j_k - double(now_j_k)) * (t_k - double(datum_k));
  }
  if (cell.state != voxel_gone) mark(cell, rules, float(t_k));
  if (cell.level > 0u && cell.state != voxel_gone)
    codes[v] = has_cell | (uint(rules.first_level_code) + min(cell.level, uint(rules.levels)) - 1u);
  if (cell.collapsed >= collapse_done && cell.state != voxel_gone) atomicAdd(result[result_news + 2], 1u);
  cells[c] = cell;
  return change;
}

void main() {
  if (result[3] != step_taken) return;
  int me = int(gl_LocalInvocationID.x);
  dvec4 sum = dvec4(0.0LF);
  int all = int(gl_NumWorkGroups.x) * group;
  for (int c = int(gl_GlobalInvocationID.x); c < count; c += all) sum += step_cell(c);
  sums[me] = sum;
  for (int half_of = group / 2; half_of > 0; half_of /= 2) {
    barrier();
    if (me < half_of) sums[me] += sums[me + half_of];
  }
  if (me != 0) return;
  int to = result_sums + 8 * int(gl_WorkGroupID.x);
  for (int n = 0; n < 4; ++n) {
    uvec2 words = unpackDouble2x32(sums[0][n]);
    result[to + 2 * n] = words.x;
    result[to + 2 * n + 1] = words.y;
  }
}
