#pragma once
// Every numerical tolerance of sim: unit, usual value, and what changing it risks. Properties of the world are not
// here.

namespace warmbay::sim::limits {

/// Planes closer than this are one grid plane, m. Larger merges real thin layers; smaller keeps rounding slivers.
inline constexpr double plane_merge_m = 1e-6;

/// Ratio of neighbouring voxel edges may pass the growth rule by this factor before the grid is refined again, 1.
inline constexpr double growth_slack = 1.01;

/// The split step's implicitness, 1: 0.5 is second order in time; larger damps stiff modes and costs accuracy.
inline constexpr float split_theta = 0.5F;

/// A voxel that hands on more than so many times its own heat capacity per kelvin and step in each of the three
/// directions carries ballast, 1. More: walls of small pieces need shorter steps; less: a change of pace is smeared.
inline constexpr float ballast_from = 0.25F;
/// With ballast a voxel is made no heavier than this, J/(m3 K): above air (1,200) and foams (30,000 to 60,000), far
/// below everything else. More: cables warm up late, and metal in a long step swings about where it settles.
inline constexpr float ballast_most_j_m3k = 1e5F;
/// Ballast leans on at most so many times the change of the step before, 1. More: ringing grows by so much with every
/// longer step; less: light voxels lag behind where steps get longer.
inline constexpr double ballast_leans_most = 2.5;

/// Halvings of the first internal step after a change of conditions, 1. Fewer: the copper's fast start is smeared.
inline constexpr int ladder_halvings = 6;

/// No step is so long that anything would move by more than this in it, K, at the pace of the step before; never
/// shorter than the first after a change, and never longer than twice the one before. More: films and moving air, which
/// follow a step behind, lag.
inline constexpr double step_change_k = 2.0;
/// A split step that moves anything by more than this is done again, shorter or whole, K: the trapezoidal rule is no
/// good for what goes faster than its steps. More: the first moments after a jump err; less: short and whole steps.
inline constexpr double step_moves_most_k = 2.5;
/// Steps grow with the time since the last change of conditions, up to this share of it, 1. More: slow tails err more.
inline constexpr double step_share = 1.0 / 25.0;
/// Where something is being damaged they grow no further than this many regular steps, 1. More: it is followed
/// coarsely.
inline constexpr double damaged_growth = 2.0;

/// Steps of a trial from random temperatures that a step length must pass without growth, 1. Fewer: slow growth passes.
inline constexpr int stability_trial_steps = 96;
/// No split step is shorter than this share of the regular one because another was too long, and a wall that bears no
/// more is never stepped split, 1. Less: many short steps; more: whole ones, which take as long as hundreds of split
/// ones.
inline constexpr double least_split_share = 1.0 / 32.0;

/// A split step may pass what physics allows by this much before it is done again whole, K. Less: ringing that does no
/// harm costs whole steps; more: it is seen.
inline constexpr double overshoot_k = 0.5;
/// How far a voxel may be from what its neighbours make of it after a split step, K (Stepper::step). More: rings and
/// lags of that size stay; less: steps are done whole that were good enough.
inline constexpr double restless_k = 0.3;
/// Damage that moves a voxel's temperature by less than this in a step leaves its neighbours at rest, K.
inline constexpr double stirred_k = 0.01;
/// What splitting may add: to any voxel, K off what its neighbours make of it, less where it is spread over the wall
/// (more than this share of all heat that moves goes astray, 1); and summed over the wall, as a share of all heat that
/// moves, times how far temperatures are apart, K. More: walls of light matter that conducts well lag behind by whole
/// kelvins; less: more and shorter steps than were needed.
inline constexpr double splitting_off_k = 0.16;
inline constexpr double splitting_spread_off_k = 0.06;
inline constexpr double splitting_spread = 0.01;
inline constexpr double splitting_astray_k = 2.0;
/// So soon after a change of conditions, s, no more than this share of it, 1: everything moves fast then, and light
/// voxels pass on at once what they are off. Longer or less: more short steps; shorter or more: half kelvins in light
/// matter.
inline constexpr double splitting_soon_s = 120.0;
inline constexpr double splitting_soon_share = 0.4;
/// In a wall with solid matter that is lighter than this, J/(m3 K), as no insulation is (glass fibre of 10 kg/m3 has
/// 8,400), and in which heat spreads faster than this, m2/s (still air 2.1e-5), no more than this share of either, 1.
/// Heavier, slower or less: short steps where they are not needed; lighter, faster or more: more walls of made-up
/// matter half a kelvin out.
inline constexpr double light_j_m3k = 8e3;
inline constexpr double quick_m2_s = 2.5e-5;
inline constexpr double splitting_light_share = 0.3;
/// It is measured at the first step of a length, then after 1, 2, 4 steps more and at last after every so many, 1.
inline constexpr int splitting_look_steps = 32;
/// Step lengths are chosen for this share of what is allowed, 1, and grow once it lets them grow by so much, 1. More:
/// steps are taken back; less: short ones that were not needed.
inline constexpr double splitting_wanted = 0.75;
inline constexpr double least_growth = 1.15;
/// Heat of split steps that need not be accounted for: of all that has moved, 1, of which every
/// change of conditions leaves a share, 1; and of a single step, as a
/// share of what that moved, 1, and beyond, J. Less: ringing at surfaces costs whole steps; more: heat gets lost
/// unseen.
inline constexpr double books_kept = 0.5;
inline constexpr double unaccounted_share = 4e-4;
inline constexpr double unaccounted_damaged_share = 6e-4;  // of all that has moved, where damage is under way
inline constexpr double unaccounted_step_share = 5e-4;
inline constexpr double unaccounted_j = 1e-5;
/// And so much of the whole wall's heat capacity, K: what no thermometer tells.
inline constexpr double unaccounted_k = 1e-5;
/// Steps done whole after a split one was refused: at first, and at most, when it is refused again and again, 1.
inline constexpr int least_whole_steps = 2;
inline constexpr int most_whole_steps = 64;
/// Whole steps: by how much one sub-step and two halves may differ (the error left is a fraction of it), as a share of
/// how far temperatures are apart, 1, and at most, K; and the shortest sub-step, as a share of the step, that is
/// shortened for it.
inline constexpr double whole_error_share = 2e-3;
inline constexpr double whole_error_k = 0.05;
inline constexpr double whole_least_share = 1.0 / 4096.0;
/// And their conjugate gradients: residual against the right side, 1, or as small as this mean error, K, and iterations
/// before the sub-step is shortened.
inline constexpr double whole_residual = 1e-6;
inline constexpr double whole_residual_k = 3e-7;
inline constexpr int whole_iterations = 1000;

/// Simulated time between refreshes of temperature-dependent conductances, s. More: they lag; fewer: slower.
inline constexpr double refresh_interval_s = 10.0;

/// Or sooner, once something may have moved by this much, K.
inline constexpr double refresh_change_k = 2.0;

/// A row of voxels keeps its conductances while no conductivity in it has changed by more than this, 1. More: they lag;
/// less: slower.
inline constexpr float conductivity_change = 1e-3F;

/// A surface keeps its film and conductance while its voxel's temperature has moved by less than this, K. More: heat
/// through surfaces lags; less: slower.
inline constexpr float surface_change_k = 0.02F;

/// Conductivity across a cable's sheath, W/(m K), that stands for 'the sheath's surface has one temperature': the
/// cross-section's own resistance is in the copper's coupling. Lower adds resistance twice; higher only stiffens.
inline constexpr double sheath_spreading_w_mk = 5.0;

/// Conductivities that a damaged voxel's is rounded to: levels between sound and changed (dried, charred), and levels
/// of melt, each of so much solid plastic by volume, 1. More: a longer table; fewer: a voxel's conductivity jumps more.
inline constexpr int changed_levels = 4;
inline constexpr int melt_levels = 8;
inline constexpr double melt_level_solid = 0.05;

/// A foam voxel whose collapse has come that far becomes a void, 1; it collapses ever more slowly towards 1.
inline constexpr float collapse_done = 0.95F;
/// Voxels that melt may be pushed through to reach foam that still stands, 1.
inline constexpr int melt_reach = 24;
/// Simulated time between two changes of the void's shape, s. More: cheaper, and the void grows in jumps.
inline constexpr double shape_interval_s = 20.0;
/// Spacing of the tables of reaction rates, K: the rate between two entries errs by (E spacing / R T^2)^2 / 8.
inline constexpr double rate_spacing_k = 0.5;

/// Copper may warm or cool by this much in one internal step, K; the step is halved until it does. Larger: a short's
/// current is followed more coarsely.
inline constexpr double copper_change_k = 8.0;
inline constexpr int most_step_halvings = 20;

/// Where a cable is equally hot its insulation gives way at one place after the other, ever nearer to the supply. A
/// further short is told when its distance from there is so much of the last one told, 1.
inline constexpr double short_told_again = 0.5;

/// Heat capacity that holds a voxel of surroundings at its temperature, J/K. Must dwarf any voxel's (about 1).
inline constexpr float held_capacity_j_k = 1e30F;

/// Settled field: residual of the linear solve against its first residual, 1 (of a single round, while coefficients
/// still move, and in the end), and rounds of updated coefficients.
inline constexpr double round_residual = 1e-2;
inline constexpr double settled_residual = 1e-8;
inline constexpr int settled_iterations = 400;
inline constexpr int settled_rounds = 40;
/// How much less energy of the error is allowed each time that the heat does not balance yet, 1.
inline constexpr double settled_closer = 1e-2;
/// From this round on, one that moves temperatures by more than this share of the round before starts the relaxing of
/// rounds, 1. Lower: easy walls pay for it; higher: rounds that circle are noticed late.
inline constexpr int free_rounds = 3;
inline constexpr double slow_round = 0.6;
/// What share of its move a relaxed round keeps, 1. Wider: faster where it is steady, wilder where it is not.
inline constexpr double least_relaxation = 0.1;
inline constexpr double most_relaxation = 1.5;
/// Rounds end when no temperature moved more than this, K.
inline constexpr double settled_change_k = 1e-4;
/// Conjugate gradients that take coefficients anew at every step: how many steps at most, the largest error that is
/// left, K (more: less exact), and by how much all temperatures together may have moved before the preconditioner is
/// built anew, K (more: it fits worse). Every so many steps the error must have come down to this share, 1; lower:
/// given up early for the slower rounds.
inline constexpr int direct_iterations = 100;
inline constexpr double settled_error_k = 2e-5;
inline constexpr double rebuild_after_k = 10.0;
inline constexpr int direct_patience = 8;
inline constexpr double direct_gain = 0.5;
/// Largest heat imbalance of a settled field, 1.
inline constexpr double settled_balance = 1e-6;
/// The same where nothing varies: one linear solve, whose own residual is the stricter measure. Larger: a conductor
/// that has next to no way out for its heat passes for settled.
inline constexpr double fixed_balance = 1e-4;
/// Copper hotter than this in a settled round means there is no settled state, K (copper melts at 1357.77 K).
inline constexpr double runaway_k = 1357.77;

/// Current limit: the conductor's temperature meets the limit within this, K.
inline constexpr double limit_error_k = 1e-3;

/// Cells along the long side of a cable's cross-section when its thermal resistance is computed, 1.
inline constexpr int cross_section_cells = 120;
/// So many solved ones are kept, for walls that are built again. More: a little memory.
inline constexpr int kept_cross_sections = 256;

}  // namespace warmbay::sim::limits
