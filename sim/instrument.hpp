#pragma once
// What the instruments read from a state.

#include <functional>

#include "sim/conduction.hpp"
#include "sim/damage/state.hpp"
#include "sim/large_field.hpp"
#include "sim/snapshot.hpp"
#include "sim/stepper.hpp"

namespace warmbay::sim {

/// Temperature at a point of the wall, K above the datum. On a boundary between materials it is the boundary's own
/// (weighted by the conductances of the half voxels on either side), on a surface it is the surface's, inside
/// surroundings it is theirs. at_m: clamped to the wall.
[[nodiscard]] double point_rise_k(const Conduction& wall, const Field& rise_k, const Vec3& at_m);

/// Mean over the sheath's voxels beside a node of a cable, K above the datum; and of every node.
[[nodiscard]] double sheath_rise_k(const CopperLine& line, const Field& rise_k, std::size_t node);
[[nodiscard]] std::vector<double> sheath_rise_k(const CopperLine& line, const Field& rise_k);

/// A value along a cable, between its nodes linearly, beyond the end nodes constant.
[[nodiscard]] double along_line(const CopperLine& line, const std::function<double(std::size_t node)>& value,
                                double along_m);

/// The node of a cable whose middle is nearest to a place along its route.
[[nodiscard]] int nearest_node(const CopperLine& line, double along_m);

/// What a thermocouple would read that followed at once, K above the datum. slipped_air_share: 0, or once it has
/// slipped from its cable the share of its reading that is the far side of the air round the cable.
[[nodiscard]] double junction_rise_k(const Conduction& wall, const HeatState& state, const Thermocouple& spot,
                                     double slipped_air_share);

/// The voxels that junction_rise_k may look at for a thermocouple (indices into the padded field), as the air is now.
[[nodiscard]] std::vector<std::size_t> voxels_read(const Conduction& wall, const Thermocouple& spot);

/// What the surroundings receive, and the temperatures of the surfaces beside them; one per Wall::surroundings.
[[nodiscard]] std::vector<SurroundingsReading> read_surroundings(const Conduction& wall, const Field& rise_k);
[[nodiscard]] std::vector<SurroundingsReading> read_surroundings(const Conduction& wall,
                                                                 const LargeVector<double>& rise_k);

/// Everything that is read at one moment; thermocouples without lag. damage: of the wall, or nullptr.
[[nodiscard]] Reading read_instruments(const Conduction& wall, const HeatState& state, double time_s, const Feed& feed,
                                       std::vector<SurroundingsReading> surroundings, const DamageState* damage);

/// The whole wall at one moment, with a reading of that moment. damage: of the wall, or nullptr.
[[nodiscard]] std::shared_ptr<const Snapshot> take_snapshot(const Conduction& wall, const HeatState& state,
                                                            Reading reading, const Conditions& conditions,
                                                            const DamageState* damage);
/// The same with the voxels' temperatures and states of a snapshot from before.
[[nodiscard]] std::shared_ptr<const Snapshot> renew_snapshot(const Snapshot& before, const Conduction& wall,
                                                             const HeatState& state, Reading reading,
                                                             const Conditions& conditions);

}  // namespace warmbay::sim
